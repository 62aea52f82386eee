#!/bin/sh
# SPDX-License-Identifier: MIT
# Installs into a staging root and uses what is there as a stranger would: the
# programs of examples/ are built by pkg-config and run, and do not build
# without it; the command runs, its pages and completion are there.
#
# install.sh [SANITIZERS]: what the build was made with, "none" or a list
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
build=${HR_BUILD_ROOT:-$root/build/gcc}
sanitizers=${1:-none}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0
complain() {
    echo "$1"
    bad=$((bad + 1))
}

DESTDIR=$work/stage meson install -C "$build" --no-rebuild >"$work/log" 2>&1 || {
    cat "$work/log"
    exit 1
}
pc=$(find "$work/stage" -name hallreach.pc)
[ -n "$pc" ] || {
    echo 'hallreach.pc was not installed'
    exit 1
}
prefix=$(sed -n 's/^prefix=//p' "$pc")
stage=$work/stage$prefix
libdir=$(dirname "$(dirname "$pc")")

for file in bin/hallreach include/hallreach/hr_base.h include/hallreach/hr_limits.h include/hallreach/hr_report.h \
    share/man/man1/hallreach.1 share/man/man1/hallreach-place.1 share/man/man5/hallreach-property.5 \
    share/man/man7/hallreach-plan.7 share/bash-completion/completions/hallreach; do
    [ -s "$stage/$file" ] || [ -s "$stage/$file.gz" ] || complain "$prefix/$file was not installed"
done
for header in "$root"/lib/*/hr_*.h; do
    [ -s "$stage/include/hallreach/$(basename "$header")" ] || complain "$(basename "$header") was not installed"
done
[ -z "$(find "$stage/include" -name '*_priv.h')" ] || complain 'private headers were installed'
soname=$(readelf -d "$libdir/libhallreach.so" | sed -n 's/.*SONAME.*\[\(.*\)\]/\1/p')
[ "$soname" = libhallreach.so.0 ] || complain "the library calls itself $soname"
[ -e "$libdir/$soname" ] || complain "$soname was not installed"

version=$(sed -n 's/^Version: //p' "$pc")
said=$(LD_LIBRARY_PATH=$libdir "$stage/bin/hallreach" --version)
[ "$said" = "hallreach $version" ] || complain "hallreach.pc says version $version, the command: $said"

# Only this .pc file: the development files of the libraries underneath are not asked for.
export PKG_CONFIG_LIBDIR="$(dirname "$pc")" PKG_CONFIG_SYSROOT_DIR="$work/stage"
pkg-config --validate hallreach || complain 'hallreach.pc is not valid'
flags=$(pkg-config --cflags hallreach) && libs=$(pkg-config --libs hallreach) || complain 'pkg-config found no hallreach'
compile='cc -std=c11 -Wall -Wextra -Wpedantic -Werror'
extra=''
if [ "$sanitizers" != none ]; then
    extra=-fsanitize=$sanitizers
    compile="clang -std=c11 -Wall -Wextra -Wpedantic -Werror"
fi
programs=0
for source in "$root"/examples/*.c; do
    name=$(basename "$source" .c)
    programs=$((programs + 1))
    # from another folder, so that nothing beside the source helps
    cp "$source" "$work/$name.c"
    # shellcheck disable=SC2086
    (cd "$work" && $compile $extra "$name.c" $flags $libs -o "$name") || complain "$name does not build by pkg-config"
    # shellcheck disable=SC2086
    (cd "$work" && $compile $extra -c "$name.c" -o none.o) >"$work/log" 2>&1 && complain "$name builds without the flags"
    # shellcheck disable=SC2086
    (cd "$work" && $compile $extra "$name.c" $flags -o none) >"$work/log" 2>&1 && complain "$name links without the library"
done
[ "$programs" -gt 0 ] || complain 'examples/ holds no program'

run() { LD_LIBRARY_PATH=$libdir "$@"; }
run "$work/embed" "$root/examples/tern-house.ini" >"$work/placed" || complain "embed: exit status $?"
# the same answer as the command's
gateways=$(run "$stage/bin/hallreach" place --quiet --csv "$root/examples/tern-house.ini" | grep -c '^GW')
[ "$(grep -c '^GW.*: storey ' "$work/placed")" = "$gateways" ] || complain "embed and the command differ in gateways"
grep -q '^room 314: GW' "$work/placed" || complain 'embed shows no room 314'
grep -q '^160 of 160 devices served$' "$work/placed" || complain 'embed counts other devices'
run "$work/embed" "$root/examples/nowhere.ini" >"$work/placed" 2>"$work/said"
[ $? -eq 3 ] && grep -q 'nowhere.ini: cannot be opened' "$work/said" && [ ! -s "$work/placed" ] ||
    complain 'embed does not say that a file is missing'

# a map from the lobby: clear near by, many walls far off, dots off the floor, nothing else
run "$work/around" "$root/examples/tern-house.ini" 1 13 9 >"$work/map" || complain "around: exit status $?"
grep -q '00000000000' "$work/map" && grep -q '999999999' "$work/map" && grep -q '^\.\.*$' "$work/map" &&
    ! grep -q '[^.0-9]' "$work/map" || complain 'around draws no map'
run "$work/around" "$root/examples/tern-house.ini" 99 13 9 >"$work/map" 2>"$work/said"
[ $? -eq 3 ] && grep -q 'no storey 99' "$work/said" && [ ! -s "$work/map" ] || complain 'around does not say that there is no such storey'

[ "$bad" -eq 0 ] && echo "installed; $programs program(s) built and run against it"
