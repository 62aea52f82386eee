#!/bin/sh
# SPDX-License-Identifier: MIT
# The public headers stand alone in C11, C17 and C++, and what they mark HR_API is
# what the shared library exports, no less and no more.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
build=${HR_BUILD_ROOT:-$root/build/gcc}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0
complain() {
    echo "$1"
    bad=$((bad + 1))
}

# As installed: all in one folder.
mkdir "$work/include"
cp "$root"/lib/*/hr_*.h "$work/include/"
strict='-Wall -Wextra -Wpedantic -Werror'
plusplus=''
for compiler in g++ clang++; do
    command -v "$compiler" >/dev/null 2>&1 && plusplus=$compiler && break
done
[ -n "$plusplus" ] || echo '# no C++ compiler is installed: C++ not tried'
headers=0
for header in "$work"/include/*.h; do
    name=$(basename "$header")
    headers=$((headers + 1))
    printf '#include <%s>\n#include <%s>\nint hr_unit;\n' "$name" "$name" >"$work/unit.c"
    cp "$work/unit.c" "$work/unit.cpp"
    for standard in c11 c17; do
        # shellcheck disable=SC2086
        cc -std=$standard $strict -I"$work/include" -fsyntax-only "$work/unit.c" || complain "$name does not compile alone as $standard"
    done
    if [ -n "$plusplus" ]; then
        # shellcheck disable=SC2086
        "$plusplus" -std=c++11 $strict -I"$work/include" -fsyntax-only "$work/unit.cpp" || complain "$name does not compile alone as C++"
    fi
    grep -q 'extern "C"' "$header" || [ "$(grep -c HR_API "$header")" -eq 0 ] || complain "$name lacks extern \"C\""
done

# A declaration may run over several lines, its name stands before the first bracket.
cat "$work"/include/*.h | grep -v '^#' | tr '\n' ' ' | sed 's/HR_API/\n&/g' | sed -n 's/^HR_API \([^(;]*\)(.*/\1/p' |
    grep -o 'hr_[a-z0-9_]*$' | sort -u >"$work/declared"
nm -D --defined-only "$build/lib/libhallreach.so" | sed -n 's/^[0-9a-f]* [TDBRVW] //p' | sed 's/@.*//' |
    grep -v '^HALLREACH_' | sort -u >"$work/exported"
diff "$work/declared" "$work/exported" >"$work/differences" || {
    cat "$work/differences"
    complain 'the headers (<) and the library (>) differ in what they offer'
}
nm -D --defined-only --with-symbol-versions "$build/lib/libhallreach.so" | grep -q ' hr_version@@HALLREACH_0$' ||
    complain 'the exported functions carry no version'
[ "$(wc -l <"$work/declared")" -gt 200 ] || complain 'hardly any declarations were found'
[ "$headers" -gt 15 ] || complain 'hardly any headers were found'
[ "$bad" -eq 0 ] && echo "$headers headers, $(wc -l <"$work/exported") functions"
