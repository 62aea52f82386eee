#!/bin/sh
# SPDX-License-Identifier: MIT
# dist.sh BUILD: the release archive of `meson dist` holds every file and builds
# the command on its own. Run by tests/run.sh.
set -u
cd "$(dirname "$0")/../.." || exit 2
build=$1
if ! git rev-parse --git-dir >/dev/null 2>&1; then
    echo '# skipped: no git repository, so there is nothing to make an archive of'
    exit 0
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
meson dist -C "$build" --no-tests --allow-dirty --formats gztar >"$work/log" 2>&1 || {
    cat "$work/log"
    exit 1
}
archive=$(ls -t "$build"/meson-dist/hallreach-*.tar.gz | head -1)
tar -xzf "$archive" -C "$work" || exit 1
tree=$(ls -d "$work"/hallreach-*/) || exit 1
(cd "$tree" && find . -type f | sed 's,^\./,,' | sort) >"$work/packed"
# what is new in the working tree and not yet committed is not packed
git ls-tree -r --name-only HEAD | sort | diff - "$work/packed" || {
    echo 'the archive and the repository hold different files'
    exit 1
}
meson setup --buildtype=plain "$work/build" "$tree" >"$work/log" 2>&1 && ninja -C "$work/build" cli/hallreach >"$work/log" 2>&1 || {
    cat "$work/log"
    exit 1
}
"$work/build/cli/hallreach" place --quiet --csv "$tree/examples/tern-house.ini" >"$work/gateways.csv" || exit 1
echo "$(basename "$archive"): $(wc -l <"$work/packed") files, builds and places gateways"
