#!/bin/sh
# SPDX-License-Identifier: MIT
# run.sh COMMAND [PART...]: the page of --page in a real browser. What it needs
# from npm is put in place as the lock file has it.
# Ends with 77 and a word where chromium, npm or pdftotext is absent.
set -u
here=$(cd "$(dirname "$0")" && pwd)
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
shift
for tool in chromium node npm pdftotext; do
    command -v $tool >/dev/null 2>&1 || { echo "skipped: $tool is not installed"; exit 77; }
done
cd "$here" || exit 2
if ! cmp -s package-lock.json node_modules/.lock-in-place; then
    npm ci --ignore-scripts --no-audit --no-fund --loglevel=error ||
        { echo 'skipped: npm could not fetch the packages of tests/browser/package-lock.json'; exit 77; }
    cp package-lock.json node_modules/.lock-in-place
fi
exec node test.mjs "$command" "$@"
