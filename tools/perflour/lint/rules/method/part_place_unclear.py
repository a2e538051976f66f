"""It is clear of every part whether it is mixed into the dough or batter, or stands on it, in it or around it.

All ratios speak of the dough or batter; a topping or filling has a 100 % of its own. Where `kind` is missing,
what the method does with a part and what it is called settle it; where they say nothing, or two things, the
part is counted as mixed in. Parts that are lettered or numbered ("b. tartlets") may be recipes of their own."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for part in context.balance.unclear:
        first, mark = part.name[:1], part.name[1:2]
        if first.isalnum() and mark in (".", ")"):
            told = f"the part '{part.name}' may be a recipe of its own; give it a file of its own, or say its `kind`"
        else:
            told = f"nothing settles whether the part '{part.name}' is mixed into the rest or stands beside it; say its `kind`, as batter or topping"
        yield Finding(part.place, told, part.name)


RULE = Rule(
    id="part-place-unclear",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
