"""The texts that are open in an editor, and what was made of the version that each has now."""

import os

from perflour.editor.head import Heads
from perflour.editor.page import Marked, Page, kind_here, marked, read_page
from perflour.editor.text import Text
from perflour.kitchen.house import Kitchen, kitchen_for, kitchen_from
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.files import state_of
from perflour.system.opening import read
from perflour.system.paths import HOUSE_FILE, INGREDIENTS_FILE


class OpenText:
    """One open text. What was read of a version is kept until the next version, or another kitchen."""

    def __init__(self, path: str, kind: str, version: int, text: Text) -> None:
        self.path, self.kind = path, kind
        self.version, self.text = version, text
        self.page: Page | None = None
        self.results: tuple[Marked, ...] | None = None

    def becomes(self, version: int, text: Text) -> None:
        self.version, self.text = version, text
        self.page = self.results = None


class Session:
    """All texts that are open, by their address; a class because editors change them as they go."""

    def __init__(self) -> None:
        # Owner: this session. Bound: the texts that are open. Pays: all requests of one version share one reading.
        self.open: dict[str, OpenText] = {}
        # Owner: this session. Bound: one kitchen for each open house or ingredients file. Pays: see kitchens.
        self._unsaved: dict[str, tuple[object, Kitchen | None]] = {}
        self.heads = Heads()

    def opened(self, uri: str, path: str, version: int, text: Text) -> bool:
        """Whether a text that was opened is one of ours."""
        kind = kind_here(path)
        if kind:
            self.open[uri] = OpenText(path, kind, version, text)
        return bool(kind)

    def changed(self, uri: str, version: int, text: Text) -> bool:
        if one := self.open.get(uri):
            one.becomes(version, text)
        return uri in self.open

    def closed(self, uri: str) -> bool:
        """Whether a text that was closed is one of ours."""
        one = self.open.pop(uri, None)
        if one is not None:
            self._unsaved.pop(os.path.dirname(one.path), None)
        return one is not None

    def page(self, uri: str) -> Page | None:
        """The version of a text that is open now, read; None of what is not open, or not ours."""
        one = self.open.get(uri)
        if one is None:
            return None
        kitchen = self.kitchen(one.path)
        if one.page is None or one.page.kitchen != kitchen:
            one.page = read_page(one.text, one.path, one.kind, kitchen)
            one.results = None
        return one.page

    def results(self, uri: str) -> tuple[Marked, ...]:
        """What lint says of the version of a text that is open now."""
        page = self.page(uri)
        if page is None:
            return ()
        one = self.open[uri]
        if one.results is None:
            one.results = marked(page)
        return one.results

    def judged_by(self, path: str) -> list[str]:
        """The addresses of the open texts that a changed file may bear on: all below the folder of a kitchen's."""
        folder, name = os.path.split(path)
        if name not in KITCHEN_FILES:
            return []
        below = (uri for uri, one in self.open.items() if one.path.startswith(folder + os.sep))
        return [uri for uri in below if self.open[uri].path != path]

    def kitchen(self, path: str) -> Kitchen:
        """The kitchen of a path, its own files as they are typed as far as they are valid."""
        folder = self._unsaved_folder(path)
        typed = self._typed_kitchen(folder) if folder else None
        return kitchen_for(path) if typed is None else typed

    def _typed(self, path: str) -> OpenText | None:
        return next((one for one in self.open.values() if one.path == path), None)

    def _unsaved_folder(self, path: str) -> str:
        """The folder of the kitchen that a path belongs to, if one of its own files is open."""
        if not any(one.kind in ("house", "catalogue") for one in self.open.values()):
            return ""
        folder = os.path.dirname(os.path.abspath(path))
        while True:
            house, ingredients = (self._typed(f"{folder}/{name}") for name in KITCHEN_FILES)
            if house or state_of(f"{folder}/{HOUSE_FILE}"):
                return folder if house or ingredients else ""
            above = os.path.dirname(folder)
            if above == folder or os.path.exists(f"{folder}/.git"):
                return ""
            folder = above

    def _typed_kitchen(self, folder: str) -> Kitchen | None:
        """The kitchen as it is typed; None while either of its files cannot be used, and the saved ones count."""
        names = HOUSE_FILE, INGREDIENTS_FILE
        key = tuple(self._state(f"{folder}/{name}") for name in names)
        known = self._unsaved.get(folder)
        if known and known[0] == key:
            return known[1]
        house, ingredients = (self._content(f"{folder}/{name}") for name in names)
        made = kitchen_from(folder, house or b"", ingredients)
        kitchen = None if made.results else made
        self._unsaved[folder] = key, kitchen
        return kitchen

    def _state(self, path: str) -> object:
        one = self._typed(path)
        return state_of(path) if one is None else one.text.content

    def _content(self, path: str) -> bytes | None:
        if one := self._typed(path):
            return one.text.encoded()
        try:
            return read(path)
        except (OSError, ValueError):
            return None
