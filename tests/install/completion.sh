#!/bin/bash
# SPDX-License-Identifier: MIT
# completion.sh COMMAND FILE: the completion offers what each command's help lists.
set -u
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
# shellcheck disable=SC1090
source "$2" || exit 1
bad=0
complain() {
    echo "$1"
    bad=$((bad + 1))
}

# offered WORD...: what is offered for the last word
offered() {
    COMP_WORDS=("$@")
    COMP_CWORD=$(($# - 1))
    _hallreach
    printf '%s\n' "${COMPREPLY[@]}" | sort
}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
touch lodge.ini lodge.svg

complete -p hallreach >/dev/null 2>&1 || complain 'nothing is completed for hallreach'
commands=$("$command" --help | sed -n '/^Commands/,/^$/s/^  \([a-z]*\) .*/\1/p')
[ "$(echo "$commands" | wc -l)" -gt 5 ] || complain 'hardly any commands were found in the help'
[ "$(offered hallreach '' | grep -v '^--')" = "$(echo "$commands" | sort)" ] || complain 'other commands than in the help'
[ "$(offered hallreach help '' | grep -v '^--')" = "$(echo "$commands" | sort)" ] || complain 'other commands after help'
[ "$(offered hallreach mat)" = materials ] || complain 'mat does not become materials'
for name in $commands; do
    [ "$name" = help ] && continue
    in_help=$("$command" help "$name" | grep -oE '^ +(-[a-z], )?--[a-z-]+' | grep -oE '\-\-[a-z-]+' | sort -u)
    [ "$(offered hallreach "$name" -- | sort -u)" = "$in_help" ] || complain "$name: other options than in its help"
done
[ "$(offered hallreach place lod)" = "$(printf 'lodge.ini\nlodge.svg')" ] || complain 'files are not offered'
[ "$(offered hallreach place --gateways lodge.s)" = lodge.svg ] || complain 'files are not offered after --gateways'
[ "$(offered hallreach place --gateways = lodge.s)" = lodge.svg ] || complain 'files are not offered after --gateways='
[ "$(offered hallreach outline --length-unit '')" = "$(printf 'ft\nm')" ] || complain 'words are not offered'
[ -z "$(offered hallreach place --effort lod)" ] || complain 'files are offered for a number'
[ -z "$(offered hallreach nothing --)" ] || complain 'options are offered for no command'
[ "$bad" -eq 0 ] && echo "$(echo "$commands" | wc -l) commands completed"
