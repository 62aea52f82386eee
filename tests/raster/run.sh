#!/bin/sh
# SPDX-License-Identifier: MIT
# run.sh COMMAND COMPARE: the walls of `read --drawing` against what a general
# renderer (librsvg) makes of the same file, pixel by pixel. Skipped without it.
set -u
here=$(cd "$(dirname "$0")" && pwd)
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
compare=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
for tool in rsvg-convert pngtopnm ppmtopgm; do
    command -v $tool >/dev/null 2>&1 || { echo "skipped: $tool is not installed"; exit 77; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 2

# picture FILE.svg: 1200 pixels wide, on white, as FILE.pgm
picture() {
    rsvg-convert -w 1200 -b white "$1.svg" -o "$1.png" && pngtopnm "$1.png" 2>/dev/null | ppmtopgm 2>/dev/null >"$1.pgm"
}

files=0
bad=0
for file in "$here"/*.svg; do
    name=$(basename "$file" .svg)
    files=$((files + 1))
    cp "$file" source.svg
    cat >plan.ini <<INI
[property]
name = $name
length_unit = m
[storey 1]
plan = source.svg
[drawing]
metres_per_unit = 0.05
INI
    [ "$name" = 09-colours ] && echo 'map = stroke #204060 -> walls: brick-200' >>plan.ini
    if ! "$command" read --quiet --drawing drawn.svg plan.ini >out 2>err; then
        [ -s drawn.svg ] || { echo "not ok - $name: nothing was drawn"; cat err; bad=$((bad + 1)); continue; }
    fi
    # the walls alone, black, 2.5 pixels wide, on the source's own page: 5 units of the drawing are one of the source
    page=$(sed -n '1s/.*viewBox="\([^"]*\)".*/\1/p' source.svg |
        awk '{ printf "%g %g %g %g", $1 * 5, $2 * 5, $3 * 5, $4 * 5 }')
    sed -e "0,/<svg/s/ width=\"[^\"]*\" height=\"[^\"]*\" viewBox=\"[^\"]*\"/ viewBox=\"$page\"/" \
        -e 's/<title>/<style>svg > g { display: none } svg > g.layer-walls, svg > g.layer-solids { display: inline } .layer-walls path { stroke: #000 !important; stroke-width: 6.25 !important; stroke-dasharray: none !important; stroke-linejoin: round } g.layer-walls { stroke: #000 !important; stroke-width: 6.25 !important; stroke-dasharray: none !important } .layer-solids { fill: #000 !important }<\/style><title>/' \
        drawn.svg >walls.svg
    if picture source && picture walls && said=$("$compare" source.pgm walls.pgm); then
        echo "ok - $name: $said differ"
    else
        echo "not ok - $name: ${said:-no picture}"
        bad=$((bad + 1))
        [ -n "${KEEP:-}" ] && cp source.png walls.png walls.svg "$KEEP/"
    fi
    rm -f drawn.svg
done
echo "$((files - bad)) of $files agree"
[ "$bad" -eq 0 ] && [ "$files" -ge 10 ]
