#!/bin/sh
# SPDX-License-Identifier: MIT
# run.sh COMMAND MEASURE: drawings made to exhaust a reader, written here by awk,
# and those beside the repository where it is developed. Each must end in a read
# or in an error that says something, within 2 s of processor time and 1 GiB; and
# (where strace is installed) nothing may be opened but the files that were named.
set -u
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
measure=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
shared=${HR_SOURCE_ROOT:-.}/../shared/svg/hostile
most_ms=2000
most_kib=1048576
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
[ -d "$shared" ] && shared=$(cd "$shared" && pwd)
cd "$work" || exit 2
files=0
bad=0

# drawing NAME 'awk program that prints the inside'
drawing() {
    {
        printf '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 1000">'
        awk "BEGIN { ORS = \"\"; $2 }"
        printf '</svg>'
    } >"$1.svg"
}

# property FILE [LINE]: a property file for the drawing
property() {
    cat >plan.ini <<INI
[property]
name = hostile
length_unit = m
[radio]
frequency_mhz = 915
[storey 1]
plan = $1
[drawing]
metres_per_unit = 0.5
${2:-}
INI
}

# try NAME STATUS WORDS...: runs it and holds it against the limits; STATUS `any` is 0, 1 or 3
try() {
    name=$1
    wanted=$2
    shift 2
    files=$((files + 1))
    "$measure" "$command" "$@" 3>used >out 2>err </dev/null
    read -r status ms kib <used || status=none ms=0 kib=0
    wrong=''
    case $wanted.$status in
    any.[013] | 0.0 | 1.1 | 3.3) ;;
    *) wrong="status $status, expected $wanted" ;;
    esac
    [ "$ms" -le "$most_ms" ] || wrong="$wrong; $ms ms"
    [ "$kib" -le "$most_kib" ] || wrong="$wrong; $kib KiB"
    [ "$status" != 3 ] || grep -q '^hallreach: .*svg' err || wrong="$wrong; no word about the file"
    if [ -n "$wrong" ]; then
        echo "not ok - $name: $wrong"
        tail -3 err
        bad=$((bad + 1))
    else
        echo "ok - $name: status $status, $ms ms, $((kib / 1024)) MiB"
    fi
}

# all NAME STATUS [LINE]: read, read --drawing, read --suggest
all() {
    property "$1.svg" "${3:-}"
    try "$1${3:+ ($3)}" "$2" read plan.ini
    [ "$2" = 3 ] || try "$1, drawn" "$2" read --drawing drawn.svg plan.ini
    try "$1, --suggest" any read --suggest plan.ini
    rm -f "$1.svg" drawn.svg
}

g='print "<g id=\"walls: block-hollow\">"'
drawing nested-walls "$g; for (i = 0; i < 20000; i++) printf \"<path d='M%.2f 5H%.2f'/>\", i / 100, 1000 - i / 100; print \"</g>\""
all nested-walls 3
drawing nested-turns "for (i = 0; i < 20000; i++) printf \"<g id='walls: %s'><path d='M%.2f 5H%.2f'/></g>\", i % 2 ? \"block-hollow\" : \"concrete-200\", i / 100, 1000 - i / 100"
all nested-turns 3
drawing fan "$g; for (i = 0; i < 20000; i++) printf \"<path d='M0 0L1000 %.2f'/>\", i / 20; print \"</g>\""
all fan 3
drawing hatch "$g; for (i = 0; i < 2000; i++) printf \"<path d='M%.1f 0V1000M0 %.1fH1000'/>\", i / 2, i / 2; print \"</g>\""
all hatch 3
drawing one-path "$g; print \"<path d='M0 0\"; for (i = 0; i < 500000; i++) print \"l1 1l1-1\"; print \"'/></g>\""
all one-path 3
drawing same-wall "$g; for (i = 0; i < 150000; i++) print \"<path d='M0 0H9'/>\"; print \"</g>\""
all same-wall 1
drawing parallel "$g; for (i = 0; i < 20000; i++) printf \"<path d='M0 %.2fH1000'/>\", i / 100; print \"</g>\""
all parallel any 'wall_pairing = 0.3'
drawing doors "$g; print \"<path d='M0 5H1000'/></g><g id='doors'>\"; for (i = 0; i < 20000; i++) printf \"<path d='M%.2f 5h.9'/>\", i / 20; print \"</g>\""
all doors 1
drawing star "print \"<g id='solids: brick-200'><path d='M\"; for (i = 0; i < 5000; i++) printf \"%.3f %.3f \", 500 + 400 * cos(i * 2.0001), 500 + 400 * sin(i * 2.0001); print \"z'/></g>\""
all star 1
drawing nested-rooms "print \"<g id='rooms'>\"; for (i = 0; i < 10000; i++) printf \"<rect x='%.2f' y='%.2f' width='%.2f' height='%.2f'><title>R %d</title></rect>\", i / 50, i / 50, 1000 - i / 25, 1000 - i / 25, i; print \"</g>\""
cp nested-rooms.svg nested-outlines.svg
all nested-rooms 1
all nested-outlines 3 'rooms_are_walls = block-hollow'
drawing labels "print \"<g id='rooms'><rect width='100' height='100'/>\"; for (i = 0; i < 100000; i++) printf \"<text x='5' y='5'>%d</text>\", i; print \"</g>\""
all labels 1
drawing layers "for (i = 0; i < 50000; i++) printf \"<g id='layer number %d'><path d='M0 %dH9' stroke='#%06x'/></g>\", i, i % 900, i"
all layers 1
drawing elements "for (i = 0; i < 500000; i++) print \"<path d='M0 0'/>\""
all elements 1
drawing depth "for (i = 0; i < 100000; i++) print \"<g>\"; for (i = 0; i < 100000; i++) print \"</g>\""
all depth 3
drawing picture "print \"<image href='data:,\"; for (i = 0; i < 1200000; i++) print \"AAAAAAAAAA\"; print \"'/>\""
all picture 3
drawing references "print \"<defs><path id='u0' d='M0 0H9'/>\"; for (i = 1; i < 30; i++) printf \"<g id='u%d'><use href='#u%d'/><use href='#u%d'/></g>\", i, i - 1, i - 1; print \"</defs><use href='#u29'/>\""
all references 3
drawing herself "print \"<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g><path d='M0 0H9'/>\""
all herself 1
drawing cut "print \"<g id='walls: brick-200'><path d='M0 0H9'/><path d='M0 0H\""
sed 's/<\/svg>$//' cut.svg >cut2.svg && mv cut2.svg cut.svg
all cut 3
head -c 33554432 /dev/zero >zeros.svg
all zeros 3
cat >entity.svg <<'SVG'
<!DOCTYPE svg [<!ENTITY file SYSTEM "secret.txt">]>
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text>&file;</text></svg>
SVG
all entity 3

# ---- nothing is opened but what was named -----------------------------------

# opened WORDS...: the files a run tried to open, those of libraries and locale left out
opened() {
    # the sanitizers' leak search cannot run under a tracer
    ASAN_OPTIONS=detect_leaks=0 strace -f -e trace=open,openat,connect,socket -o trace "$command" "$@" >out 2>err </dev/null
    sed -n 's/^[^"]*open[a-z]*([^"]*"\([^"]*\)".*/\1/p; /connect(\|socket(/p' trace |
        grep -v -e '\.gcda$' -e '\.so\(\.[0-9]*\)*$' -e '^/etc/ld\.so' -e locale -e gconv -e '^/proc/' -e '^/sys/' -e '^/usr/lib/' -e '^/lib/' |
        sort -u | tr '\n' ' '
}

if ! command -v strace >/dev/null 2>&1 || ! strace -o trace true 2>/dev/null; then
    echo 'skipped: strace is not installed or may not trace; what is opened was not checked'
else
    echo secret >secret.txt
    echo '<!ENTITY leak "leak">' >evil.dtd
    cat >opens.svg <<'SVG'
<?xml-stylesheet href="evil.css" type="text/css"?>
<!DOCTYPE svg SYSTEM "evil.dtd" [<!ENTITY x SYSTEM "secret.txt"><!ENTITY % p SYSTEM "http://127.0.0.1/evil.dtd">]>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xi="http://www.w3.org/2001/XInclude" viewBox="0 0 90 90">
<style>@import url(evil.css);</style>
<xi:include href="secret.txt" parse="text"/>
<image href="secret.png" width="9" height="9"/>
<use href="secret.txt#a"/>
<g id="walls: brick-200"><path d="M0 0H9V9H0Z"/></g><g id="rooms"><path id="r 1" d="M0 0H9V9H0Z"/></g>
</svg>
SVG
    property opens.svg
    for words in 'read plan.ini' 'read --suggest plan.ini' 'read --suggest opens.svg'; do
        files=$((files + 1))
        # shellcheck disable=SC2086
        got=$(opened $words)
        case $words in
        *plan.ini) wanted='opens.svg plan.ini ' ;;
        *) wanted='opens.svg ' ;;
        esac
        if [ "$got" = "$wanted" ] && [ -s out ]; then
            echo "ok - $words opens $got"
        else
            echo "not ok - $words opens $got, expected $wanted"
            head -3 err
            bad=$((bad + 1))
        fi
    done
fi

# ---- files beside the repository --------------------------------------------

if [ -d "$shared" ]; then
    for file in "$shared"/*.svg; do
        property "$file"
        try "$(basename "$file")" any read plan.ini
        try "$(basename "$file"), --suggest" any read --suggest "$file"
    done
else
    echo 'skipped: no folder of hostile drawings beside the repository'
fi

echo "$((files - bad)) of $files as they should be"
[ "$bad" -eq 0 ] && [ "$files" -gt 40 ]
