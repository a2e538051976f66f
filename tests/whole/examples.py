"""What each command of README.md and docs/ is there to show: words that it prints, or writes into a file.

A command that stands alone over a block of what it prints needs no row here. Figures and names are those
of the demo, whose formulas, bakes and history say them.
"""

from __future__ import annotations

from typing import NamedTuple


class Shows(NamedTuple):
    """Words in what is printed, or in a file; without words, that nothing is printed."""

    words: tuple[str, ...]
    file: str = ""


def prints(*words: str) -> Shows:
    return Shows(words)


def writes(file: str, *words: str) -> Shows:
    return Shows(words, file)


#: A check that finds nothing says nothing.
SILENT = Shows(())

README: dict[str, Shows] = {
    "python3 -m venv .venv && . .venv/bin/activate && pip install -q . && sh docs/tour.sh": prints(
        "files read:", "72.8 % -> 54.6 %, -18.2 % of the dough's flour", "Iteration 9"
    ),
    "perflour new kitchen ../our-kitchen": writes("../our-kitchen/formulas/house.yaml", "classes:"),
    'perflour new formula "Harbour loaf" --class loaf-cake --pieces 2 --into drafts': writes(
        "drafts/harbour-loaf/formula.yaml", "status: draft", "class: loaf-cake"
    ),
    "perflour site ../kitchen-pages": prints("pages, ", "../kitchen-pages/index.html"),
    "pip install -q '.[all]'": SILENT,
    "perflour lint": prints("listed-never-used", "55 files read: "),
    "perflour lint --fix": prints("caraway seed is listed but no step uses it", "55 files read: "),
    "perflour show formulas/peach-cardamom-crumb-cake": prints("± g", "granulated sugar", "80.0", "total-water"),
    "perflour show formulas/oat-date-loaf --write loaf.xlsx": writes("loaf.xlsx", "xl/worksheets/sheet1.xml"),
    "perflour find 'sugar > 60' --with egg --status approved": prints("1 of 8 formulas", "rye-ginger-", "92.7"),
    "perflour history formulas/rye-ginger-cookie sugar": prints("-18.2"),
    "perflour show formulas/rye-poolish-loaf --per total": prints("dough                g", "bread flour        700        70.0"),
    "perflour contents formulas/gluten-free-currant-loaf": prints(
        "true hydration", "sugar that sweetens", "salt weighed in", "0.82 g of soda are left over", "allergens, US list"
    ),
    'perflour scale formulas/oat-date-loaf --have "egg=3 large" --whole-eggs': prints("x1.5: the egg at hand", "3 large"),
    'perflour scale formulas/rye-poolish-loaf --pieces 5 --each "900 g"': prints("x2.59: 5 pieces of 900 g", "1553 g"),
    "perflour import tests/published/text/10-plain-muffins.txt": prints(
        "{item: egg, amount: 1 each", "'fat' is not in the catalogue"
    ),
    "perflour review 'HEAD^{/^Record the fourth round}..HEAD'": prints(
        "no test bake of 1 new revision (gluten-free-currant-loaf)", "baking soda 1.52 -> 0.99 %"
    ),
    "perflour compare formulas --by group": prints("8 formulas side by side", "odd one out: ", "points apart"),
    "perflour evidence formulas/oat-date-loaf --output csv": prints("formula,iteration,revision", '"ratio: sugar, %"', "crumb place"),
    "perflour why formulas/oat-date-loaf": prints("WHAT CANNOT BE TOLD", "nothing is beyond chance with", "only soak for 30 -> 90 min"),
    "perflour trial results formulas/trials/cookie-chew": prints("CHEW, BY 3 TASTERS, BLIND", "chill for         60 min  24 h   +2.00", "WHAT TO BAKE NEXT"),
    "perflour middle formulas --ours formulas/oat-date-loaf": prints(
        "the middle of 6 formulas, by median", "ours, oat-", "not counted: almond-prune-torte", "left out"
    ),
    "perflour changelog formulas/rye-ginger-cookie": prints("Iteration 9", "test bake 2026-11-25-b", "next: "),
    "perflour changelog --check formulas": SILENT,
    "perflour release 'HEAD^{/^Record the fourth round}..HEAD'": prints(
        "3 approved formulas; 3 new", "Evidence", "test bake 2026-11-25-g", "Not in this release", "(testing, changed): "
    ),
    "perflour draft --write cookbook.pdf": writes("cookbook.pdf", "%PDF-", "%%EOF"),
    "perflour bake list formulas/oat-date-loaf": prints("7, current", "keep", "crumb 8.0", "next: "),
    "perflour bake judge formulas/sessions": prints("group", "triangle", "Decided: "),
    "perflour plan formulas/oat-date-loaf formulas/rye-ginger-cookie --ready-by 15:00": prints(
        "TIMETABLE", "14:15  14:45  wait   rye-ginger-cookie  cool", "OVENS", "SHOPPING LIST", "CAUTIONS"
    ),
    'perflour trial plan formulas/rye-ginger-cookie --vary "sugar=85..95" --vary "bake at=165..180 °C" --bakes 4 --tasters 3 --dry-run': prints(
        "4 bakes on 1 day in 1 oven", "step 8, bake, with it step 6, preheat"
    ),
    'perflour cost formulas/oat-date-loaf --what-if "butter=+15 %"': prints("batch: 4.34 EUR (was 4.17, +4.0 %"),
    "perflour format --check": SILENT,
    "perflour explain soda-without-acid": prints("Baking soda needs something acid", "Source: "),
    "perflour git-setup": prints("git config diff.perflour.textconv", "git config merge.perflour.driver"),
    "perflour check-setup": prints("ok       history", "hooks"),
    "perflour completion bash > /tmp/perflour.bash": writes("/tmp/perflour.bash", "complete ", "changelog"),
}  # fmt: skip

BAKES: dict[str, Shows] = {
    'perflour bake new formulas/oat-date-loaf --date 2026-11-27 --baker R --verdict keep --measured "core=97 °C" --scores "A: crumb=8, flavour=8" --notes "Like the last one."': writes(
        "formulas/oat-date-loaf/bakes/2026-11-27.yaml", "of: ", "verdict: keep", "core: 97 °C"
    ),
    "perflour bake check": prints("files read, nothing found"),
    "perflour changelog formulas/rye-poolish-loaf --output html > changelog.html": writes(
        "changelog.html", 'src="data:image/jpeg;base64,', 'alt="Drawing, no photograph: section of'
    ),
    'perflour bake session formulas/oat-date-loaf formulas/oat-date-loaf@e78c28792765 --tasters A,B,C,D,E,F --attributes "crumb, overall" --seed 7': prints(
        "Server's list", "(oat-date-loaf), revision e78c28792765", "9 like extremely", "Allergens in these samples"
    ),
    "perflour bake sheets formulas/sessions/2026-11-25.yaml --output html --write sheets.html": writes(
        "sheets.html", "<!doctype html>", "976"
    ),
    "perflour bake session formulas/oat-date-loaf formulas/oat-date-loaf@e78c28792765 formulas/oat-date-loaf@4347e0b0438c --ask ranking --tasters A,B,C,D --date 2026-11-27 --seed 8 --write sheets.txt": writes(
        "sheets.txt", "Put the samples in order: 1 for the one that you like best"
    ),
    "perflour bake sheets formulas/sessions/2026-11-27.yaml --output csv --write said.csv": writes(
        "said.csv", "taster,code,rank"
    ),
    "perflour bake answers formulas/sessions/2026-11-27.yaml said.csv": prints("12 rows of answers put in"),
    "perflour bake judge formulas/rye-poolish-loaf --output markdown": prints(
        "| iteration 2 | crust |", "| for 1 point |"
    ),
}  # fmt: skip

COMPARE: dict[str, Shows] = {
    "perflour compare formulas/oat-date-loaf --to formulas/gluten-free-currant-loaf --by group": prints(
        "2 formulas side by side", "currants for dates"
    ),
    "perflour compare formulas --by group --output markdown": prints(
        "| sugar and syrup | ", "odd one out: "
    ),
    "perflour compare formulas --output csv": prints("section,kind,name,unit,", "sugar and syrup,dark brown sugar"),
    "perflour compare formulas --output json": prints('"formulas": [', '"spread', '"odd'),
    "perflour compare formulas --output html --write side-by-side.html": writes(
        "side-by-side.html", "<!doctype html>", "<svg", "rye-ginger-cookie"
    ),
    "perflour compare formulas --output svg --write ratios.svg": writes("ratios.svg", "<svg"),
}  # fmt: skip

COMPUTING: dict[str, Shows] = {
    "perflour show formulas/rye-poolish-loaf": prints("poolish (preferment)", "water               200 g                 200        100.0"),
    "perflour contents formulas/rye-ginger-cookie": prints("true hydration", "a piece", "in 100 g", "allergens"),
    "perflour contents formulas --output json": prints('"state": "batch before the oven"', '"allergens"'),
    'perflour scale formulas/peach-cardamom-crumb-cake --pans "2 round 20 x 5 cm" --fill 1/2': prints(
        "x1.15: 2 round 20 x 5 cm filled to 50%", "rounding moved these ratios"
    ),
    'perflour scale formulas/oat-date-loaf --from-pans "loaf 23 x 13 x 7 cm" --pans "2 loaf 20 x 10 x 7 cm"': prints(
        "x1.34: 2 loaf 20 x 10 x 7 cm instead of loaf 23 x 13 x 7 cm"
    ),
    "perflour scale formulas/peach-cardamom-crumb-cake --times 1.5 --household --whole-eggs": prints(
        "x1.5: times 1.5", "1 1/2 cup", "3 large"
    ),
    "perflour scale formulas/rye-ginger-cookie --pieces 24 --output formula": prints(
        "formula: rye-ginger-cookie", "yield: {pieces: 24,"
    ),
}  # fmt: skip

DIFF: dict[str, Shows] = {
    "perflour diff": prints(
        "ground ginger 16 g -> 20 g: 2.65 % -> 3.31 %, +0.66 % of the dough's flour"
    ),
    "perflour diff 'HEAD^{/^Record the fourth round}' HEAD --output markdown -- formulas": prints(
        "### Almond, prune and chocolate torte", "**ingredients**"
    ),
    "perflour diff 'HEAD^{/^Record the fourth round}' HEAD --output subject -- formulas": prints(
        "almond-prune-torte: granulated sugar 60.0 -> 50.0 %\n"
    ),
}

DRAFT: dict[str, Shows] = {
    "perflour draft --write cookbook.html": writes("cookbook.html", "Rye, ginger and treacle cookie", "application/ld+json"),
    "perflour draft --all --write cookbook.epub": writes("cookbook.epub", "mimetypeapplication/epub+zip"),
    "perflour draft --all --paper us-letter --amounts household --story --write everything.pdf": writes("everything.pdf", "%PDF-"),
    "perflour draft --status testing --status approved --class lean-bread --title Breads --write breads.pdf": writes(
        "breads.pdf", "%PDF-"
    ),
    "perflour draft formulas/rye-ginger-cookie --output json": prints('"title": "Rye, ginger and treacle cookie"'),
}  # fmt: skip

FILES: dict[str, Shows] = {
    "perflour lint --fix formulas": prints("55 files read: "),
}

GIT: dict[str, Shows] = {
    "perflour git-setup --check": prints("set up"),
    "perflour git-sheet formulas/rye-ginger-cookie/formula.yaml": prints("72.8 %  dough: dark brown sugar", "batch"),
    "perflour git-setup --undo": prints("removed diff.perflour.textconv", "removed merge.perflour.driver"),
}  # fmt: skip

IMPORT: dict[str, Shows] = {
    "perflour import tests/published/text/05-pound-cake.txt --class pound-cake --into drafts": writes(
        "drafts/pound-cake/formula.yaml", "class: pound-cake", "item: brandy"
    ),
    "perflour import tests/published/text/08-oatmeal-cookies.txt --reference --into formulas/references": writes(
        "formulas/references/oatmeal-cookies/formula.yaml",
        "status: reference",
        "Boston Cooking-School Cook Book",
    ),
    'perflour show formulas/oat-date-loaf --output recipe | perflour import - --title "Oat and date loaf, again"': prints(
        "formula: oat-and-date-loaf-again", "{item: rolled oats, amount: 80 g}"
    ),
    "cat tests/published/text/01-biscuit.txt | perflour import - --into drafts": writes(
        "drafts/baking-powder-biscuit-i/formula.yaml", "{item: baking powder, amount: 4 tsp}"
    ),
    "perflour import tests/recipe/gold/prose/old-book-1.txt --output text": prints(
        "1/2 cup butter", "= part batter; item butter; amount 1/2 cup"
    ),
    "perflour import tests/recipe/gold/prose/old-book-1.txt --output json": prints(
        '"kind": "ingredient"', '"item": "butter"'
    ),
    "perflour import two.txt --into drafts": prints(
        "drafts/one-egg-cake/formula.yaml\ndrafts/plain-pastry/formula.yaml\n",
        "2 recipes in 2 formulas",
    ),
    'perflour import two.txt --recipe "Plain pastry"': prints("formula: plain-pastry"),
    "perflour import tests/published/text/*.txt --into drafts/old": prints(
        "drafts/old/carrot-cake/formula.yaml",
        "in 21: This is no label",
        "21 recipes in 21 formulas",
    ),
    'perflour import tin-loaf.csv --columns "item=Was,amount=Menge,unit=Einheit" --title "Tin loaf"': prints(
        "{item: bread flour, amount: 500 g}"
    ),
    "perflour show formulas/peach-cardamom-crumb-cake --output recipe": prints(
        "Makes 12 squares of 113 g", "For the crumb topping:", "65 g unsalted butter, cold, cubed"
    ),
}

PLAN: dict[str, Shows] = {
    "perflour plan formulas/oat-date-loaf formulas/peach-cardamom-crumb-cake --ready-by 15:00": prints(
        "From 11:10 to 15:00", "TIMETABLE", "OVENS", "SHOPPING LIST", "CAUTIONS"
    ),
    'perflour plan formulas/rye-ginger-cookie --make "rye-ginger-cookie=96 pieces" --load "rye-ginger-cookie=48"': prints(
        "x2  96 (cookie)      2"
    ),
    'perflour plan formulas/rye-poolish-loaf --ready-by "2026-03-14 13:00" --closed 22:00-06:00': prints(
        "to 2026-03-14 13:00", "TIMETABLE"
    ),
    "perflour plan formulas/oat-date-loaf formulas/gluten-free-currant-loaf --blind 7 --output html --write day.html": writes(
        "day.html", "<!doctype html>", "Shopping list", "Key"
    ),
    "perflour plan formulas/rye-ginger-cookie formulas/rye-poolish-loaf --bakers 2 --ready-by 15:00 --write day.svg": writes(
        "day.svg", "<svg ", "baker 2", "knead"
    ),
    'perflour plan formulas/oat-date-loaf --make "oat-date-loaf=2 batches" --start 06:30 --print bench': prints(
        "[ ] 226 g  unsalted butter, melted", "3. batch factor               2", "08:20 to 09:20, oven"
    ),
    "perflour plan formulas/oat-date-loaf formulas/rye-ginger-cookie --ready-by 15:00 --print bench --write bench.html": writes(
        "bench.html", "<!doctype html>", "dough temperature", "Allergens"
    ),
    'perflour plan formulas/rye-ginger-cookie --oven deck=2 --oven small --load "rye-ginger-cookie=24 on 1"': prints(
        "Ovens: deck (2 places), small (1 place)", "48 (cookie)      2"
    ),
    'perflour plan formulas/rye-poolish-loaf formulas/rye-ginger-cookie --appliance "stand mixer" --appliance "fridge=2" --bakers 2': prints(
        "Appliances: stand mixer (1), fridge (2).", ", stand mixer  rye-poolish-loaf"
    ),
    "perflour plan formulas/almond-prune-torte formulas/oat-date-loaf --first swings --start 06:30": prints(
        "From 06:30 to", "oven swings: 1.\nas few swings"
    ),
    "perflour cost formulas/oat-date-loaf": prints("batch: 4.17 EUR", "a loaf: 4.17 EUR", "a kg of batch"),
    'perflour cost formulas/oat-date-loaf --make "oat-date-loaf=3 batches" --packs': prints(
        "OAT-DATE-LOAF X3", "Packs for 21.90 EUR"
    ),
    'perflour cost formulas/oat-date-loaf --what-if "butter=+15 %" --what-if "dates=3.10 for 500 g"': prints(
        "batch: 4.18 EUR (was 4.17, +0.2 % with butter=+15 %; dates=3.10 for 500 g)"
    ),
}  # fmt: skip

LOGGED = "'HEAD^{/^Record the fourth round}..HEAD^{/^Taste three rounds}'"
RELEASE: dict[str, Shows] = {
    "perflour review 'HEAD^{/^Record the fourth round}..HEAD' --stop-at allergen": prints(
        "Not yet: ", "Also: prices changed"
    ),
    "perflour review 'HEAD^{/^Record the fourth round}..HEAD' --output html > review.html": writes(
        "review.html", "<!doctype html>", "1\u00a0tsp, 1.52\u00a0%"
    ),
    "perflour changelog formulas --by commit": prints("Double the batch of the cookie", "iteration 8"),
    "perflour changelog formulas/rye-ginger-cookie --output html": prints("<!doctype html>", "<svg"),
    "perflour release HEAD --output markdown": prints("the first release: ", "### Rye, ginger and treacle cookie"),
    f"perflour release {LOGGED} --for readers": prints(
        "What is new in ", "makes 48 cookies of 34 g each", "baked once in our kitchen just as it is printed"
    ),
    f"perflour release {LOGGED} --for editor --in-full": prints(
        "No approved formula is blocked.", "New pages", "before it can be approved:", "yield              1 x torte of       1 x torte of"
    ),
    f"perflour release {LOGGED} --for readers --output html": prints("<!doctype html>", "<h2>Cautions</h2>"),
    "perflour release prepare 2026.1": writes(
        "releases/2026.1.md", "Rye, ginger and treacle cookie", "lint: no error and no warning"
    ),
}  # fmt: skip

TEAM: dict[str, Shows] = {
    'perflour new formula "Quay loaf" --class loaf-cake --pieces 2 --each "600 g" --into drafts': writes(
        "drafts/quay-loaf/formula.yaml", "scaling-weight: 600 g"
    ),
    'perflour new formula "Tide cookies" --class drop-cookie --flour "500 g" --into drafts': writes(
        "drafts/tide-cookies/formula.yaml", "500 g"
    ),
    "perflour changelog --write formulas": SILENT,
    "perflour lint --fail-at error": prints("2 warnings"),
    "perflour changelog --check": SILENT,
    "perflour lint --output sarif > lint.sarif": writes(
        "lint.sarif", '"uriBaseId": "REPOSITORY"', '"endColumn": '
    ),
    "perflour lint --write-baseline known.json": writes("known.json", "listed-never-used"),
    "perflour lint --baseline known.json": prints("files read, nothing found"),
}

_PLAN = 'perflour trial plan formulas/rye-ginger-cookie --vary "unsalted butter=50..62" --vary "dark brown sugar=66..80" --vary "chill for=2 h..24 h" --bakes 8 --tasters 3 --goal chew=most --goal spread=80..90 --question "What gives the cookie its chew?" --seed 7'
_TRIAL = "formulas/trials/rye-ginger-cookie-1"
#: The trial that docs/trial-tutorial.md goes through.
_AGAIN = 'perflour trial plan formulas/rye-ginger-cookie --name chew-again --vary "unsalted butter=50..62" --vary "dark brown sugar=64..80" --vary "chill for=1 h..24 h" --hold batch --bakes 8 --days 2 --tasters 3 --goal chew=most --goal overall=most --goal "spread=80..90" --taster-spread 0.8 --bake-spread 0.4 --seed 1128 --dry-run'
EVIDENCE: dict[str, Shows] = {
    "perflour evidence formulas/rye-ginger-cookie": prints(
        "it. 1  it. 2", "dark brown sugar", "104", "reject", "oven, °C"
    ),
    "perflour evidence --write evidence.csv": writes(
        "evidence.csv", "rye-ginger-cookie,2,", '"ingredient: dark brown sugar, %"'
    ),
    "perflour why formulas/rye-ginger-cookie": prints(
        "bake time and chill moved together in 7 of 7 revisions",
        "p of all looks",
        "rye-ginger-cookie 1 and 2: only dark brown sugar 72.8 -> 54.6 % (in the dough)",
        "more sugar: a wider and flatter cookie",
    ),
    "perflour why formulas/rye-ginger-cookie --figure sugar --score overall": prints(
        "with 1 look counted", "one more of sugar goes with"
    ),
    "perflour why formulas/almond-prune-torte formulas/oat-date-loaf formulas/peach-cardamom-crumb-cake formulas/rye-ginger-cookie": prints(
        "of 4 product classes",
        "WHO IS NEAR WHOM",
        "4 formulas: odd values are judged from 8 on",
        "A MAP, IN USUAL WIDTHS",
        "A TREE",
    ),
    "perflour why formulas/rye-ginger-cookie --write why.svg": writes(
        "why.svg", "<svg", "bars are 95 % intervals of tasters"
    ),
    "perflour middle tests/published/weight/military-h015-crisp-drop-cookies tests/published/weight/usda-2004-sugar-cookies formulas/rye-ginger-cookie --ours formulas/rye-ginger-cookie": prints(
        "the middle of 3 formulas, by median", "ours, rye-"
    ),
}
TRIAL_TUTORIAL: dict[str, Shows] = {
    _AGAIN: prints("a factor must move a mean score by 1.8 points", "Nothing is written"),
    "perflour trial list formulas": prints("cookie-chew", "8 of 8"),
    "git log --oneline -3 -- formulas/trials/cookie-chew": prints(
        "Record the bakes and blind tastings of the cookie's trial"
    ),
    "perflour trial results formulas/trials/cookie-chew --write chew.html": writes(
        "chew.html", "What is best, as far as this goes"
    ),
    "perflour trial results formulas/trials/cookie-chew --write chew.svg": writes(
        "chew.svg", "chew: low to high"
    ),
    "git switch -q -c longer-chill": SILENT,
    'perflour trial adopt formulas/trials/cookie-chew --decided "Chill the dough a day. Less butter and more sugar keep the spread."': prints(
        "chill for: 2 h -> 24 h",
        "72.8 % -> 80.0 %, +7.2 % of the dough's flour",
        "baked in the trial as d",
        "back to testing",
    ),
    'git commit -q -a -m "Take what the trial of the cookie\'s chew showed"': SILENT,
    'perflour bake new formulas/rye-ginger-cookie --baker R --batch 1/2 --verdict keep --date 2026-11-29 --scores "A: chew=8, overall=8" --scores "B: chew=8, overall=8" --scores "C: chew=7, overall=8" --notes "As bake d of the trial. Invented data of the demo."': prints(
        "formulas/rye-ginger-cookie/bakes/2026-11-29.yaml"
    ),
    "sed 's/^status: testing/status: approved/' formulas/rye-ginger-cookie/formula.yaml > approved.yaml": writes(
        "approved.yaml", "status: approved"
    ),
    "mv approved.yaml formulas/rye-ginger-cookie/formula.yaml": writes(
        "formulas/rye-ginger-cookie/formula.yaml", "status: approved"
    ),
    "perflour changelog --write formulas/rye-ginger-cookie": prints(
        "formulas/rye-ginger-cookie/CHANGELOG.md"
    ),
    "git add formulas": SILENT,
    'git commit -q -m "Bake and approve the cookie with the long chill"': SILENT,
    "perflour review 'HEAD^{/^Record the bakes and blind tastings}..HEAD'": prints(
        "May be merged",
        "72.8 %",
        "80.0 %",
        "/trial.yaml",
        "trial cookie-chew led to this",
    ),
    "perflour release 'HEAD^{/^Record the bakes and blind tastings}..HEAD'": prints(
        "3 approved formulas; 1 changed",
        "chill, for         2 h             24 h",
        "test bake 2026-11-29 by R: keep",
    ),
}
TRIALS: dict[str, Shows] = {
    'perflour trial plan formulas/rye-poolish-loaf --model blend --vary "bread flour=55..85" --vary "medium rye flour=5..20" --vary "whole wheat flour=10..30" --bakes 10 --days 2 --tasters 4 --goal crumb=most --dry-run': prints(
        "a spread of blends within the ranges", "Two of these blends must differ by"
    ),
    "perflour trial adopt formulas/trials/cookie-chew --dry-run": prints("chill for: 2 h -> 24 h", "nothing is written"),
    f"{_PLAN} --dry-run": prints("every combination of low and high (full)", "Nothing is written", "points to be found"),
    _PLAN: writes(f"{_TRIAL}/trial.yaml", "question: What gives the cookie its chew?", "low: 50 %", "seed: 7"),
    f'perflour plan {_TRIAL} --start "2026-03-14 06:00"': prints("rye-ginger-cookie-1-h", "OVENS", "SHOPPING LIST"),
    f"perflour compare {_TRIAL}": prints("8 formulas side by side", "dark brown sugar"),
    f'perflour bake new {_TRIAL}/rye-ginger-cookie-1-a --baker R --verdict change --measured "spread=84 mm"': prints(
        f"{_TRIAL}/rye-ginger-cookie-1-a/bakes/"
    ),
    f"perflour bake session {_TRIAL}/rye-ginger-cookie-1-a {_TRIAL}/rye-ginger-cookie-1-b --tasters 3 --attributes chew --seed 7": prints(
        "Server's list", "745: ", "Allergens in these samples"
    ),
    "perflour trial list": prints("rye-ginger-", "Is it the butter, the sugar or the chill that keeps the chew?"),
}  # fmt: skip
TERMINAL: dict[str, Shows] = {
    "perflour explain cautions": prints(
        "hot-sugar-burns: said where a step cooks sugar", "Source: "
    ),
    "perflour lint --quiet --color never": prints("listed-never-used"),
    "perflour -v cost formulas/oat-date-loaf": prints("price list: formulas/prices.yaml", "took "),
}

ASKING: dict[str, Shows] = {
    'perflour find --with "rye flour" --without egg': prints("1 of 8 formulas", "rye-poolish-loaf  medium rye flour", "This is no label"),
    "perflour find --words soak --class loaf-cake": prints("oat-date-loaf, step 1: soak rolled oats"),
    "perflour find 'fat > 45' --status approved --write fat.csv": writes("fat.csv", '"fat, %"', "oat-date-loaf,", "the batter's flour"),
    "perflour history formulas/rye-ginger-cookie": prints("Rye, ginger and treacle cookie", "BAKING-SODA, % OF THE DOUGH'S FLOUR", "-0.53"),
    "perflour history formulas/oat-date-loaf sugar 'soak for' --write sugar.html": writes("sugar.html", "<svg", "soak for: 30 min -&gt; 90 min"),
    "perflour show formulas/rye-poolish-loaf formulas/oat-date-loaf --write sheets.xlsx": writes("sheets.xlsx", "xl/worksheets/sheet2.xml"),
    'perflour scale formulas/oat-date-loaf --batch "3 kg" --output formula | perflour show - --write scaled.xlsx': writes("scaled.xlsx", "xl/worksheets/sheet1.xml"),
}  # fmt: skip

EXAMPLES: dict[str, Shows] = {
    **TERMINAL, **README, **ASKING, **BAKES, **COMPARE, **COMPUTING, **DIFF, **DRAFT, **FILES, **GIT, **IMPORT, **PLAN, **RELEASE, **TEAM, **TRIALS, **EVIDENCE, **TRIAL_TUTORIAL,
    "perflour new kitchen ../lane": prints("wrote .helix/languages.toml", "wrote .nvim.lua"),
    "perflour editor --settings helix": prints('args = ["editor"]', "language-servers"),
    "perflour editor < /dev/null && echo it starts": prints("it starts"),
}  # fmt: skip
