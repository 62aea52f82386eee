#!/bin/sh
# SPDX-License-Identifier: MIT
# bench.sh SPEED PEERS GROWTH HALLREACH [SECONDS]: writes bench.csv into the build folder, one row for each comparison of README.md
# in this folder; prints it. Peers that solve are stopped after SECONDS (60). Says which rows miss their target.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
build=${HR_BUILD_ROOT:-.}
speed=$1
peers=$2
growth=$3
hallreach=$4
limit=${5:-60}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
csv=$work/bench.csv

now() { awk '{printf "%.2f", $1}' /proc/uptime; }
seconds_of() { # of a command, with the finest clock a shell has
    start=$(date +%s%N)
    "$@" >/dev/null 2>&1
    end=$(date +%s%N)
    awk -v a="$start" -v b="$end" 'BEGIN {printf "%.4f", (b - a) / 1e9}'
}

# placement NAME TOOL PACKAGE: the same matrix, five pairs where the peer is quick, one where it is not
placement() {
    if ! command -v "$2" >/dev/null 2>&1; then
        echo "placement,$3 is not installed,,1,0"
        return
    fi
    : >"$work/ratios"
    pair=0
    while [ "$pair" -lt 5 ]; do
        answer=$("$peers" property "$root/examples/quillhaven-lodge.ini" 1 1 "$work/a.lp") || return 1
        ours=$(echo "$answer" | awk '{print $4}')
        count=$(echo "$answer" | awk '{print $1}')
        if [ "$2" = glpsol ]; then
            theirs=$(seconds_of glpsol --lp "$work/a.lp" --cuts --tmlim "$limit" -o "$work/out")
            found=$(awk '/^Objective:/ {print $4; exit}' "$work/out")
        else
            theirs=$(seconds_of cbc "$work/a.lp" sec "$limit" solve solu "$work/out")
            found=$(awk 'NR == 1 {print $NF; exit}' "$work/out")
        fi
        echo "$theirs $ours $count $found" >>"$work/ratios"
        pair=$((pair + 1))
        awk -v t="$theirs" 'BEGIN {exit !(t > 10)}' && break
    done
    # ours is told in milliseconds: less than one counts as one
    awk '{o = $2 < 0.001 ? 0.001 : $2; print $1 / o, $1, ($3 > $4 + 0.5)}' "$work/ratios" | sort -n |
        awk -v name="$1" '{r[NR] = $1; t[NR] = $2; if ($3) more = 1}
            END {m = int((NR + 1) / 2); target = t[m] > 1 ? 20 : 1
                 ok = (r[m] >= target) && !more
                 printf("placement,%s,%.2f,%d,%d\n", name, r[m], target, ok)}'
}

{
    echo "# compiler: $(cc --version | head -1)"
    echo "# processor: $(awk -F': ' '/^model name/ {print $2; exit}' /proc/cpuinfo)"
    echo "# started: load $(cut -d' ' -f1 /proc/loadavg), up $(now) s"
    "$speed" "$root/examples/quillhaven-lodge.ini" || exit 1
    placement GLPK glpsol glpk-utils || exit 1
    placement CBC cbc coinor-cbc || exit 1
    for storeys in 15 30 60; do
        mkdir "$work/$storeys"
        "$hallreach" outline --quiet --rooms-per-storey 60 --storeys $storeys --output "$work/$storeys/h.ini" >/dev/null || exit 1
    done
    "$growth" "$work/15/h.ini" "$work/30/h.ini" "$work/60/h.ini" || exit 1
} >"$csv" || exit 1
cp "$csv" "$build/bench.csv"
cat "$csv"
missed=$(awk -F, '!/^#/ && $1 != "row" && $5 != 1 {n++} END {print n + 0}' "$csv")
echo "$missed rows miss their target"
[ "$missed" -eq 0 ]
