"""Photos of test bakes: kept beside the record without a place, checked, shown; by the real command line."""

from __future__ import annotations

import base64
import json
import os
import pty
import re
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.records.bake import Photo
from perflour.records.photos import shown_photo
from perflour.result import CannotRun
from perflour.system.pictures import ScaledPhoto
from perflour.trials.bake_prompts import ask_about_photos
from perflour.trials.bake_request import BakeSaid
from perflour.trials.kept_photos import PhotoSaid
from tests.conftest import Outcome, formula_text, git, run_cli
from tests.system.made_pictures import SERIAL, picture, says_place

TEXT = formula_text("{item: flour, amount: 200 g}", "{item: butter, amount: 100 g}")
OF = digest(read_formula(TEXT.encode(), "f"))
BAKES = "formulas/trial/bakes"
NEW = ("new", "formulas/trial", "--baker", "N", "--verdict", "keep", "--date", "2026-03-14")
TAKEN = picture("JPEG", orientation=6, with_place=True)
ALT = "Slice with an even crumb."


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A repository with one formula, and a folder of photos beside it."""
    top = tmp_path / "kitchen"
    (top / "formulas" / "trial").mkdir(parents=True)
    git(top, "init", "-q", "-b", "main")
    (top / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    (top / "formulas" / "trial" / "formula.yaml").write_text(TEXT, encoding="utf-8")
    git(top, "add", "-A")
    git(top, "commit", "-qm", "Start the trial")
    (tmp_path / "camera").mkdir()
    (tmp_path / "camera" / "IMG 12.jpeg").write_bytes(TAKEN)
    return top


def bake(kitchen: Path, *words: str) -> Outcome:
    return run_cli("bake", *words, cwd=kitchen)


def record(kitchen: Path, photos: str) -> Path:
    """A record with these photos, as if written by hand."""
    folder = kitchen / BAKES
    folder.mkdir(exist_ok=True)
    path = folder / "2026-03-14.yaml"
    path.write_text(
        f'date: 2026-03-14\nformula: trial\nof: "{OF}"\nbaker: N\nphotos: [{photos}]\nverdict: keep\n',
        encoding="utf-8",
    )
    return path


def entry(content: bytes, file: str = "crumb.jpg", more: str = f', alt: "{ALT}"') -> str:
    return f'{{file: "{file}", sha256: "{sha256(content).hexdigest()}"{more}}}'


def test_a_photo_from_elsewhere_is_copied_without_its_place(kitchen: Path) -> None:
    done = bake(kitchen, *NEW, "--photo", "../camera/IMG 12.jpeg", "--caption", "cut face", "--alt", ALT)  # fmt: skip
    original = kitchen.parent / "camera" / "IMG 12.jpeg"
    assert (done.code, done.out) == (0, f"{BAKES}/2026-03-14.yaml\n")
    assert done.err == (
        f"{original.as_posix()}: copied to {BAKES}/2026-03-14-IMG-12.jpg; in the copy place taken out, "
        "with all else that the camera noted\n"
    )
    assert original.read_bytes() == TAKEN
    kept = (kitchen / BAKES / "2026-03-14-IMG-12.jpg").read_bytes()
    assert (says_place(kept), SERIAL in kept) == (False, False)
    assert (
        "photos:\n  - file: 2026-03-14-IMG-12.jpg\n"
        f'    sha256: "{sha256(kept).hexdigest()}"\n'
        "    caption: cut face\n"
        f"    alt: {ALT}\n"
    ) in (kitchen / BAKES / "2026-03-14.yaml").read_text(encoding="utf-8")
    assert bake(kitchen, "check").out == "1 file read, nothing found\n"


def test_each_photo_of_one_name_has_a_file_and_the_same_one_is_not_copied_twice(
    kitchen: Path,
) -> None:
    other = kitchen.parent / "other"
    other.mkdir()
    (other / "IMG 12.jpeg").write_bytes(picture("PNG"))
    for _ in range(2):
        bake(kitchen, *NEW, "--photo", "../camera/IMG 12.jpeg", "--photo", "../other/IMG 12.jpeg")
    photos = sorted(p.name for p in (kitchen / BAKES).iterdir() if p.suffix != ".yaml")
    assert photos == ["2026-03-14-IMG-12.jpg", "2026-03-14-IMG-12.png"]
    (other / "IMG 12.jpeg").write_bytes(picture("JPEG", size=(50, 50)))
    bake(kitchen, *NEW, "--photo", "../camera/IMG 12.jpeg", "--photo", "../other/IMG 12.jpeg")
    assert (kitchen / BAKES / "2026-03-14-IMG-12-b.jpg").read_bytes() == picture("JPEG", size=(50, 50))  # fmt: skip


def test_a_photo_in_the_repository_is_written_anew_and_that_is_said(kitchen: Path) -> None:
    photo = kitchen / "crumb.jpg"
    photo.write_bytes(TAKEN)
    done = bake(kitchen, *NEW, "--photo", "crumb.jpg", "--alt", ALT)
    assert done.err == (
        "crumb.jpg: place taken out, with all else that the camera noted, and written anew; "
        "commits that have it keep the old one\n"
    )
    assert not says_place(photo.read_bytes())
    once = photo.read_bytes()
    assert bake(kitchen, *NEW, "--photo", "crumb.jpg", "--alt", ALT).err == ""
    assert photo.read_bytes() == once
    assert bake(kitchen, "check").code == 0


def test_a_photo_that_another_record_holds_is_not_changed_behind_its_back(kitchen: Path) -> None:
    record(kitchen, entry(TAKEN))
    photo = kitchen / BAKES / "crumb.jpg"
    photo.write_bytes(TAKEN)
    words = (*NEW, "--photo", f"{BAKES}/crumb.jpg", "--alt", ALT)
    done = bake(kitchen, *words)
    assert (done.code, done.err) == (
        2,
        f"perflour: {BAKES}/crumb.jpg: tells where it was taken, and another record holds it by its hash; run "
        "`perflour bake check --take-out-places` first, which mends both\n",
    )
    assert photo.read_bytes() == TAKEN
    assert bake(kitchen, "check", "--take-out-places").code == 0
    assert bake(kitchen, *words).code == 0
    assert bake(kitchen, "check").out == "2 files read, nothing found\n"


def test_what_is_no_picture_is_refused_and_nothing_is_written(kitchen: Path) -> None:
    (kitchen / "crumb.jpg").write_bytes(b"\0\0\0\x18ftypheic" + b"\0" * 40)
    done = bake(kitchen, *NEW, "--photo", "../camera/IMG 12.jpeg", "--photo", "crumb.jpg")
    assert (done.code, done.out, done.err) == (2, "", "perflour: crumb.jpg: is HEIC or AVIF (ISO/IEC 23008-12), which is not read; save it as JPEG\n")  # fmt: skip
    assert not (kitchen / BAKES).exists()


def test_words_belong_to_the_photo_before_them(kitchen: Path) -> None:
    said = bake(kitchen, *NEW, "--alt", ALT, "--photo", "a.jpg")
    assert (said.code, said.err) == (2, "perflour bake new: --alt says something of a photo; name that first, with --photo; see perflour bake new --help\n")  # fmt: skip
    twice = bake(kitchen, *NEW, "--photo", "a.jpg", "--alt", ALT, "--alt", ALT)
    assert twice.err == "perflour bake new: --alt is given twice for a.jpg; see perflour bake new --help\n"  # fmt: skip


def test_a_photo_without_words_is_told_when_recorded_and_when_checked(kitchen: Path) -> None:
    (kitchen / "crumb.png").write_bytes(picture("PNG"))
    done = bake(kitchen, *NEW, "--photo", "crumb.png")
    assert done.err == "crumb.png: has no words for those who do not see it; write `alt`\n"
    checked = bake(kitchen, "check")
    assert (checked.code, checked.out) == (
        0,
        f"{BAKES}/2026-03-14.yaml:6:5: note: ../../../crumb.png has no words for those who do not see it; "
        "write in `alt` what it shows [photo-without-words]\n1 file read: 1 note in 1\n",
    )


def test_words_are_asked_for(kitchen: Path) -> None:
    """The real command on a pseudo-terminal."""
    child, terminal = pty.fork()
    if child == 0:  # pragma: no cover
        os.chdir(kitchen)
        words = ["-m", "perflour", "bake", *NEW, "--photo", "../camera/IMG 12.jpeg"]
        os.execv(sys.executable, [sys.executable, *words])
    os.write(terminal, f"{ALT}\n".encode())
    _, status = os.waitpid(child, 0)
    os.close(terminal)
    assert os.waitstatus_to_exitcode(status) == 0
    assert f"    alt: {ALT}\n" in (kitchen / BAKES / "2026-03-14.yaml").read_text(encoding="utf-8")


def test_only_what_has_no_words_is_asked_about() -> None:
    asked: list[str] = []

    def ask(question: str) -> str:
        asked.append(question)
        return "A loaf."

    said = BakeSaid("N", "keep", photos=(PhotoSaid("a.jpg", alt=ALT), PhotoSaid("b.jpg")))
    answered = ask_about_photos(said, ask)
    assert [photo.alt for photo in answered.photos] == [ALT, "A loaf."]
    assert asked == ["b.jpg: what does the picture show, for those who do not see it? "]

    def ended(_: str) -> str:
        raise EOFError

    with pytest.raises(CannotRun, match="stopped before the end; nothing was written"):
        ask_about_photos(said, ended)


CHECKED = [
    (TAKEN, entry(TAKEN), 1, "5:17: warning: crumb.jpg tells where it was taken; `perflour bake check --take-out-places` writes it without [photo-tells-place]"),
    (b"no picture", entry(b"no picture"), 0, "5:17: note: crumb.jpg is no picture in JPEG, PNG or WebP; save it as one; no page shows it [photo-not-shown]"),
    (picture("JPEG"), entry(picture("JPEG"), more=", shows: cut face"), 0, "5:10: note: crumb.jpg has no words for those who do not see it; write in `alt` what it shows [photo-without-words]"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "photos", "code", "line"), CHECKED)
def test_checks_a_photo(kitchen: Path, content: bytes, photos: str, code: int, line: str) -> None:
    record(kitchen, photos)
    (kitchen / BAKES / "crumb.jpg").write_bytes(content)
    done = bake(kitchen, "check")
    assert (done.code, done.out.splitlines()[0]) == (code, f"{BAKES}/2026-03-14.yaml:{line}")


def test_places_are_taken_out_of_photos_that_are_recorded(kitchen: Path) -> None:
    path = record(kitchen, entry(TAKEN))
    photo = kitchen / BAKES / "crumb.jpg"
    photo.write_bytes(TAKEN)
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Record a bake")
    done = bake(kitchen, "check", "--take-out-places")
    assert (done.code, done.out) == (0, "1 file read, nothing found\n")
    assert done.err == (
        f"{BAKES}/crumb.jpg: place taken out, with all else that the camera noted; commits that have it keep the old one\n"
        f"{BAKES}/2026-03-14.yaml: hash of the photo renewed\n"
    )
    assert not says_place(photo.read_bytes())
    assert sha256(photo.read_bytes()).hexdigest() in path.read_text(encoding="utf-8")


def test_a_photo_that_is_another_one_is_left_alone(kitchen: Path) -> None:
    record(kitchen, entry(b"the one that was recorded"))
    photo = kitchen / BAKES / "crumb.jpg"
    photo.write_bytes(TAKEN)
    done = bake(kitchen, "check", "--take-out-places")
    assert (done.code, done.err) == (1, "")
    assert photo.read_bytes() == TAKEN


def images(page: str) -> list[str]:
    return re.findall(r"<img [^>]*>", page)


def test_the_page_of_a_changelog_shows_a_photo_without_its_place(kitchen: Path) -> None:
    evil = 'A \\"slice\\" <b onclick=x>'
    record(kitchen, entry(TAKEN, more=f', caption: "cut <b>face", alt: "{evil}"'))
    (kitchen / BAKES / "crumb.jpg").write_bytes(TAKEN)
    page = run_cli("changelog", "--output", "html", cwd=kitchen).out
    (image,) = images(page)
    found = re.fullmatch(r'<img src="data:image/jpeg;base64,([A-Za-z0-9+/=]+)" alt="(.*)" width="64" height="96" loading="lazy">', image)  # fmt: skip
    assert found is not None
    assert found[2] == "A &#34;slice&#34; &lt;b onclick=x&gt;"
    assert "<figcaption>Test bake 2026-03-14: cut &lt;b&gt;face</figcaption>" in page
    shown = base64.b64decode(found[1])
    assert (says_place(shown), SERIAL in shown) == (False, False)
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    assert policy[1] == "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def test_a_page_never_shows_what_was_there_before(kitchen: Path) -> None:
    """A photo is no part of what an earlier page was made from: it is looked at again each time."""
    record(kitchen, entry(TAKEN))
    photo = kitchen / BAKES / "crumb.jpg"
    photo.write_bytes(TAKEN)
    assert len(images(run_cli("changelog", "--output", "html", cwd=kitchen).out)) == 1
    photo.write_bytes(picture("JPEG"))
    page = run_cli("changelog", "--output", "html", cwd=kitchen).out
    assert images(page) == []
    assert "Test bake 2026-03-14: bakes/crumb.jpg is another photo by now than the one recorded</p>" in page  # fmt: skip
    photo.unlink()
    page = run_cli("changelog", "--output", "html", cwd=kitchen).out
    assert "Test bake 2026-03-14: bakes/crumb.jpg is not here any more</p>" in page


def test_a_page_shows_some_photos_of_a_bake_and_names_the_others(kitchen: Path) -> None:
    record(kitchen, ", ".join([entry(TAKEN)] * 8))
    (kitchen / BAKES / "crumb.jpg").write_bytes(TAKEN)
    page = run_cli("changelog", "--output", "html", cwd=kitchen).out
    assert len(images(page)) == 6
    assert "Test bake 2026-03-14: 2 more photos: named in the list above</p>" in page
    assert page.count("photo bakes/crumb.jpg") == 8


def test_lists_name_the_photos(kitchen: Path) -> None:
    record(kitchen, entry(TAKEN, more=', caption: cut | face') + ", {file: b.jpg}")  # fmt: skip
    said = bake(kitchen, "list").out
    assert "    photo: bakes/crumb.jpg, cut | face\n    photo: bakes/b.jpg\n" in said
    table = bake(kitchen, "list", "--output", "markdown").out
    assert table.splitlines()[2].endswith("| next | photos |")
    assert table.splitlines()[4].endswith(r"| bakes/crumb.jpg, cut \| face; bakes/b.jpg |")
    assert "bakes/crumb.jpg: cut | face" in run_cli("changelog", cwd=kitchen).out
    told = json.loads(run_cli("changelog", "--output", "json", cwd=kitchen).out)
    assert told["formulas"][0]["iterations"][0]["bakes"][0]["photos"] == ["cut | face", "b.jpg"]


OUTSIDE = ("crumb.jpg", "linked/crumb.jpg", "../../../../camera/IMG 12.jpeg", "/etc/passwd")


@pytest.mark.parametrize("file", OUTSIDE)
def test_no_photo_outside_of_the_repository_is_shown(kitchen: Path, file: str) -> None:
    """Of a stranger's commit: a link to a photo of mine, a folder that is one, a path that leads out."""
    camera = kitchen.parent / "camera"
    (camera / "crumb.jpg").write_bytes(TAKEN)
    absolute = str(camera / "crumb.jpg") if file.startswith("/") else file
    path = record(kitchen, entry(TAKEN, file=absolute))
    (kitchen / BAKES / "crumb.jpg").symlink_to(camera / "crumb.jpg")
    (kitchen / BAKES / "linked").symlink_to(camera)
    shown = shown_photo(str(path), Photo(absolute, sha256(TAKEN).hexdigest()))
    assert isinstance(shown, str)
    assert re.match(r"cannot be read \((lies outside|is a link, or lies behind one, that leads out)", shown)  # fmt: skip
    assert images(run_cli("changelog", "--output", "html", cwd=kitchen).out) == []
    bake(kitchen, "check", "--take-out-places")
    assert (camera / "crumb.jpg").read_bytes() == TAKEN
    assert (camera / "IMG 12.jpeg").read_bytes() == TAKEN


def test_a_link_out_of_the_repository_is_not_recorded(kitchen: Path) -> None:
    (kitchen / "crumb.jpg").symlink_to(kitchen.parent / "camera" / "IMG 12.jpeg")
    done = bake(kitchen, *NEW, "--photo", "crumb.jpg")
    assert done.code == 2
    assert "is a link, or lies behind one, that leads out of the repository" in done.err


def test_a_photo_that_is_there_is_shown_at_the_size_asked_for(kitchen: Path) -> None:
    path = record(kitchen, entry(TAKEN))
    (kitchen / BAKES / "crumb.jpg").write_bytes(TAKEN)
    shown = shown_photo(str(path), Photo("crumb.jpg", sha256(TAKEN).hexdigest()), most_px=48)
    assert isinstance(shown, ScaledPhoto)
    assert (shown.width, shown.height) == (32, 48)
    assert shown_photo(str(path), Photo("crumb.jpg")) == "has no hash in its record; `perflour bake check` names it"  # fmt: skip
