#!/bin/sh
# The main job on the demo formulas of Saltmarsh Lane: lint, weigh, compare, log. Called by the
# README's first command with perflour on the PATH; each command is printed before it runs.
cd "$(dirname "$0")/.." || exit 2

run() {
    printf '\n$ perflour %s\n' "$*"
    perflour "$@"
    code=$?
    [ "$code" -le 1 ] || exit "$code" # 1 only says that something was found
}

# the commit that cut the sugar of the cookie, found by its subject so that the tour outlives rebases
cut=$(git rev-parse --verify --quiet 'HEAD^{/^Cut the dark brown sugar of the cookie}' 2>/dev/null)

run lint
run show formulas/rye-ginger-cookie
if [ -n "$cut" ]; then
    run diff "$cut~1" "$cut" -- formulas/rye-ginger-cookie
    run changelog formulas/rye-ginger-cookie
else
    printf '\nNo git history here: clone the repository (not a shallow copy) to see diff and changelog.\n'
fi
