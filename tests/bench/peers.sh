#!/bin/sh
# SPDX-License-Identifier: MIT
# peers.sh PEERS small: equal optima with GLPK and CBC on small random covers (part of the suite).
# peers.sh PEERS full [SECONDS]: the examples' matrices and made-up hotels, each peer stopped
# after SECONDS (60): never worse than either. Prints one CSV row per matrix.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
peers=$1
mode=$2
limit=${3:-60}
for tool in glpsol cbc; do
    command -v "$tool" >/dev/null 2>&1 || { echo "# $tool is not installed (glpk-utils, coinor-cbc): skipped"; exit 77; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0
cases=0

# The best value each peer found, "none" without one.
by_glpk() {
    glpsol --lp "$work/a.lp" --cuts --tmlim "$limit" -o "$work/glpk" >/dev/null 2>&1
    awk '/^Status:/ && /UNDEFINED|EMPTY/ {none=1} /^Objective:/ {print none ? "none" : $4; exit}' "$work/glpk"
}
by_cbc() {
    cbc "$work/a.lp" sec "$limit" solve solu "$work/cbc" >/dev/null 2>&1
    awk 'NR==1 {print /objective value/ ? $NF : "none"; exit}' "$work/cbc"
}
row() {
    name=$1
    shift
    answer=$("$peers" "$@" "$work/a.lp") || { echo "not ok - $name"; bad=$((bad + 1)); return; }
    set -- $answer
    glpk=$(by_glpk)
    cbc=$(by_cbc)
    ok=$(awk -v ours="$1" -v bound="$2" -v proved="$3" -v glpk="$glpk" -v cbc="$cbc" -v mode="$mode" 'BEGIN {
        ok = bound <= ours
        if (glpk != "none" && ours > glpk + 0.5) ok = 0
        if (cbc != "none" && ours > cbc + 0.5) ok = 0
        if (glpk != "none" && bound > glpk + 0.5) ok = 0
        if (mode == "small" && (ours != glpk + 0 || ours != cbc + 0 || proved != 1)) ok = 0
        print ok ? 1 : 0 }')
    echo "$name,$1,$2,$3,$4,$glpk,$cbc,$ok"
    cases=$((cases + 1))
    [ "$ok" -eq 1 ] || bad=$((bad + 1))
}

echo 'matrix,ours,bound,proved,seconds,glpk,cbc,ok'
if [ "$mode" = small ]; then
    seed=1
    while [ "$seed" -le 25 ]; do
        row "random-$seed" random "$seed"
        seed=$((seed + 1))
    done
    row hotel-2-storeys hotel 2 20 1 85 4
    row hotel-2-storeys-twice hotel 2 20 2 85 4
else
    for example in tern-house quillhaven-lodge; do
        for hops in 1 4; do
            for cover in 1 2; do
                row "$example-hops-$hops-cover-$cover" property "$root/examples/$example.ini" "$hops" "$cover"
            done
        done
    done
    row hotel-4x40 hotel 4 40 1 85 4
    row hotel-8x40 hotel 8 40 1 85 4
    row hotel-10x40 hotel 10 40 1 85 4
    row hotel-10x40-twice hotel 10 40 2 85 4
fi
echo "$((cases - bad)) passed, $bad failed"
[ "$bad" -eq 0 ] && [ "$cases" -gt 0 ]
