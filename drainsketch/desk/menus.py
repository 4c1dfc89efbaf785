"""The two menus whose entries come from outside: recent files and sample yards."""

from PySide6.QtWidgets import QMenu

from drainsketch.desk.documents import Documents, sample_names


def fill_recent(menu: QMenu, documents: Documents) -> None:
    """List the files opened last."""
    menu.clear()
    for number, path in enumerate(documents.recent.paths(), 1):
        action = menu.addAction(f"&{number}  {path.name.replace('&', '&&')}")
        action.setToolTip(str(path))
        action.triggered.connect(lambda _=False, p=path: documents.open(p))
    menu.setEnabled(not menu.isEmpty())


def fill_samples(menu: QMenu, documents: Documents) -> None:
    """List the sample yards that ship with the program."""
    for name in sample_names():
        words = name.rsplit(".", 1)[0].replace("-", " ").replace("_", " ")
        menu.addAction(words[:1].upper() + words[1:]).triggered.connect(
            lambda _=False, n=name: documents.open_sample(n)
        )
    menu.setEnabled(not menu.isEmpty())
