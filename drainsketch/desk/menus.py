"""The menus within menus: recent files, sample yards, exports."""

from PySide6.QtWidgets import QMenu

from drainsketch.desk.actions import IMPORTS, Actions
from drainsketch.desk.documents import Documents, sample_names
from drainsketch.desk.exporting import EXPORTS
from drainsketch.job.options import MOST_OPTIONS

OPTION_DOINGS = ("new_option", "name_option", "delete_option")


def fill_recent(menu: QMenu, documents: Documents) -> None:
    """List the files opened last."""
    menu.clear()
    for number, path in enumerate(documents.recent.paths(), 1):
        action = menu.addAction(f"&{number}  {path.name.replace('&', '&&')}")
        action.setToolTip(str(path))
        action.triggered.connect(lambda _=False, p=path: documents.open(p))
    menu.setEnabled(not menu.isEmpty())


def fill_exports(menu: QMenu, actions: Actions) -> None:
    """List the files that can be written for others."""
    menu.setToolTipsVisible(True)
    for what in EXPORTS:
        menu.addAction(actions.by_name[what.name])


def fill_imports(menu: QMenu, actions: Actions) -> None:
    """List what can be taken in from files of others."""
    menu.setToolTipsVisible(True)
    for name in IMPORTS:
        menu.addAction(actions.by_name[name])


def fill_options(menu: QMenu, actions: Actions) -> None:
    """List what can be done with the options of the drains."""
    menu.setToolTipsVisible(True)
    for at in range(MOST_OPTIONS):
        menu.addAction(actions.by_name[f"option_{at + 1}"])
    menu.addSeparator()
    for name in OPTION_DOINGS:
        menu.addAction(actions.by_name[name])


def fill_samples(menu: QMenu, documents: Documents) -> None:
    """List the sample yards that ship with the program."""
    for name in sample_names():
        words = name.rsplit(".", 1)[0].replace("-", " ").replace("_", " ")
        menu.addAction(words[:1].upper() + words[1:]).triggered.connect(
            lambda _=False, n=name: documents.open_sample(n)
        )
    menu.setEnabled(not menu.isEmpty())
