#!/bin/sh
# Checks the journal as it is about to be committed. An error stops the commit;
# warnings and notes are only shown. To commit all the same:
#     git commit --no-verify
# Written by `foliary start`, and yours to change.

# Where the journal is, from the top of the repository.
journal='JOURNAL'

if ! command -v foliary >/dev/null 2>&1; then
    # A record is worth more than its check: it is committed, and checked later.
    echo "foliary is not installed here: the journal is committed unchecked." >&2
    exit 0
fi

place=$(mktemp -d) || exit 1
trap 'rm -rf "$place"' EXIT
trap 'exit 1' HUP INT TERM

# What is staged, not what lies in the folder: only what Foliary reads, with the
# history behind it.
top=$(git rev-parse --show-toplevel) || exit 1
staged="$place/${top##*/}"
mkdir "$staged" || exit 1
git ls-files -z -- '*.spray' '*.toml' '*.gitignore' |
    git checkout-index -z --stdin --prefix="$staged/" || exit 1
printf 'gitdir: %s\n' "$(git rev-parse --absolute-git-dir)" >"$staged/.git"

# Folders beside the repository, where the farm uses one of them.
if grep -rqE '^[[:space:]]+uses[[:space:]]+\.\./' "$staged"; then
    for beside in "${top%/*}"/*; do
        [ "$beside" = "$top" ] || ln -s "$beside" "$place/"
    done
fi

cd "$staged/$journal" 2>/dev/null || exit 0
[ -n "$(find . -name '*.spray' | head -n 1)" ] || exit 0

if foliary check; then
    exit 0
fi
echo "The commit was stopped: put the errors right, stage the files, commit again." >&2
exit 1
