#!/bin/sh
# Builds all packages twice, the second time from a copy in another folder, and compares
# them to the byte: sh tools/package/same.sh VERSION. With ABUT_FRESH set the copy's
# compiler keeps nothing from the first time, which takes some minutes longer.
set -eu
cd "$(dirname "$0")/../.."
version=$1
SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || stat -c %Y CHANGELOG.md)}
export SOURCE_DATE_EPOCH
sh tools/package/build.sh "$version"
copy=$(mktemp -d "${TMPDIR:-/tmp}/abut-other-folder.XXXXXX")
trap 'chmod -R u+w "$copy"; rm -rf "$copy"' EXIT
tar -cf - --exclude=./.git --exclude=./.work --exclude=./dist --exclude=./demo-out . | tar -C "$copy" -xf -
if [ -n "${ABUT_FRESH:-}" ]; then
	GOCACHE=$copy/.cache
	export GOCACHE
fi
# Its files are as old as the copy is, and another umask made them.
(umask 077 && cd "$copy" && find . -exec touch {} + && sh tools/package/build.sh "$version")
if ! diff dist/SHA256SUMS "$copy/dist/SHA256SUMS" >&2; then
	echo 'package: two builds of the same sources differ (above: the first < and the second >)' >&2
	exit 1
fi
echo "package: $(wc -l <dist/SHA256SUMS) packages, the same bytes twice" >&2
