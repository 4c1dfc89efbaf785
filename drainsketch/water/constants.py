"""The constants of the water room, each once."""

MANNING_K = 1.486  # ft and seconds
GRAVITY_FT_S2 = 32.2
FT2_PER_ACRE = 43_560.0
CFS_PER_ACRE_IN_H = FT2_PER_ACRE / 12 / 3_600  # 1.00833; many printed examples drop it
GPM_PER_CFS = 448.831
