#!/bin/sh
# Builds all packages into dist/: sh tools/package/build.sh VERSION. ./run packages
# calls it, with all that it needs installed. The same sources and tools give the same
# bytes: every time that is written down is that of the last change.
set -eu
cd "$(dirname "$0")/../.."
version=$1
from=tools/package
numbers=$(printf %s "$version" | sed 's/^v//; s/[^0-9.].*$//')
[ -n "$numbers" ] || numbers=0.0.0
SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || stat -c %Y CHANGELOG.md)}
LC_ALL=C TZ=UTC
export SOURCE_DATE_EPOCH LC_ALL TZ
umask 022
stage=$PWD/.work/stage
rm -rf dist "$stage"
mkdir -p dist "$stage"

say() { printf 'package: %s\n' "$*" >&2; }

# compile GOOS CGO TAGS FLAGS OUT
compile() {
	GOOS=$1 GOARCH=amd64 CGO_ENABLED=$2 go build -buildvcs=false -trimpath -tags "$3" -ldflags "-s -w -buildid= -X abut.stamp=$version $4" -o "$5" ./cmd/abut
}

# What is linked in, with its licences: of every module of a build those files that
# are named for one, else what its sources say of their authors at the top.
licences() {
	GOOS=$1 GOARCH=amd64 CGO_ENABLED=1 go list -tags migrated_fynedo -deps -f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}' ./cmd/abut | sort -u |
		while read -r path v dir; do
			found=$(find "$dir" -type f \( -iname 'LICENSE*' -o -iname 'LICENCE*' -o -iname 'COPYING*' -o -iname 'NOTICE*' -o -iname 'UNLICENSE*' -o -iname 'OFL*' \) ! -name '*.go' | sort)
			if [ -z "$found" ]; then
				found=$(grep -rlE --include='*.go' '^// .*(Copyright|Permission is hereby granted)' "$dir" | sort | head -1)
				[ -n "$found" ] || { say "no licence found for $path"; exit 1; }
				printf '%s\n%s %s: at the top of its sources\n%s\n\n' ------------------------------------------------------------------------ "$path" "$v" ------------------------------------------------------------------------
				sed -n '/^\/\//!q; s/^\/\/ \{0,1\}//p' "$found"
				echo
				continue
			fi
			for f in $found; do
				printf '%s\n%s %s: %s\n%s\n\n' ------------------------------------------------------------------------ "$path" "$v" "${f#"$dir"/}" ------------------------------------------------------------------------
				cat "$f"
				echo
			done
		done
	printf '%s\nGo, its library and run time\n%s\n\n' ------------------------------------------------------------------------ ------------------------------------------------------------------------
	cat "$(go env GOROOT)/LICENSE"
}

# Files and folders get one time and one owner.
settle() { find "$1" -exec touch -h -d "@$SOURCE_DATE_EPOCH" {} +; }

# --- Linux ------------------------------------------------------------------

say "Linux, $version"
root=$stage/linux/usr
mkdir -p "$root/bin" "$root/share/applications" "$root/share/mime/packages" "$root/share/man/man1" "$root/share/man/de/man1" "$root/share/doc/abut" \
	"$root/share/bash-completion/completions" "$root/share/zsh/vendor-completions" "$root/share/fish/vendor_completions.d" "$root/share/icons/hicolor/scalable/apps"
compile linux 1 migrated_fynedo '' "$root/bin/abut"
abut=$root/bin/abut
cp $from/abut.desktop "$root/share/applications/"
cp $from/abut.xml "$root/share/mime/packages/"
cp assets/icon.svg "$root/share/icons/hicolor/scalable/apps/abut.svg"
for s in 16 32 48 64 128 256 512; do
	mkdir -p "$root/share/icons/hicolor/${s}x$s/apps"
	convert assets/icon.png -resize ${s}x$s -strip -define png:exclude-chunks=date,time "$root/share/icons/hicolor/${s}x$s/apps/abut.png"
done
"$abut" --lang en manual | gzip -9n >"$root/share/man/man1/abut.1.gz"
"$abut" --lang de manual | gzip -9n >"$root/share/man/de/man1/abut.1.gz"
"$abut" completion bash >"$root/share/bash-completion/completions/abut"
"$abut" completion zsh >"$root/share/zsh/vendor-completions/_abut"
"$abut" completion fish >"$root/share/fish/vendor_completions.d/abut.fish"
cp LICENSE "$root/share/doc/abut/copyright"
licences linux >"$root/share/doc/abut/THIRD-PARTY.txt"
cp README.md CHANGELOG.md "$root/share/doc/abut/"
settle "$stage/linux"
tar -C "$stage/linux" --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$SOURCE_DATE_EPOCH" --transform "s,^usr,abut-$version," -cf - usr | xz -9e -T1 >"dist/abut-$version-linux-amd64.tar.xz"

# The newest version of the C library that is asked for. The other libraries are those
# that the toolkit opens a window with, some of which it looks for only then.
libc=$(objdump -T "$abut" | sed -n 's/.*GLIBC_\([0-9.]*\).*/\1/p' | sort -uV | tail -1)
mkdir -p "$stage/linux/DEBIAN"
cat >"$stage/linux/DEBIAN/control" <<EOF
Package: abut
Version: $(printf %s "$version" | sed 's/^v//; s/-/+/g; /^[0-9]/!s/^/0~/')
Architecture: amd64
Maintainer: The Abut authors <abut@localhost>
Section: graphics
Priority: optional
Installed-Size: $(du -sk --apparent-size "$root" | cut -f1)
Depends: libc6 (>= $libc), libgl1, libx11-6, libxcursor1, libxrandr2, libxinerama1, libxi6, libxxf86vm1
Recommends: shared-mime-info, desktop-file-utils, xdg-utils
Description: cut pictures apart for dye transfer sheets
 Abut takes art as it is drawn, shows where colours would stack, cuts upper
 shapes out of what lies beneath, and writes mirrored cut files and a printable
 page for putting the pieces together and pressing them once.
EOF
(cd "$stage/linux" && find usr -type f | sort | xargs md5sum >DEBIAN/md5sums)
settle "$stage/linux"
dpkg-deb --root-owner-group -Zxz -z9 --build "$stage/linux" "dist/abut-$version-linux-amd64.deb" >&2

# --- the commands alone -----------------------------------------------------

say 'the commands alone'
cli=$stage/cli/abut-$version
mkdir -p "$cli"
compile linux 0 cli '' "$cli/abut"
cp LICENSE "$cli/LICENSE.txt"
cp docs/command-line.md "$root/share/doc/abut/THIRD-PARTY.txt" "$cli/"
settle "$stage/cli"
tar -C "$stage/cli" --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$SOURCE_DATE_EPOCH" -cf - "abut-$version" | xz -9e -T1 >"dist/abut-$version-commands-linux-amd64.tar.xz"

# --- Windows ----------------------------------------------------------------

if [ -z "${ABUT_NO_WINDOWS:-}" ]; then
	say 'Windows (the toolkit is compiled anew for it)'
	win=$stage/windows
	mkdir -p "$win/abut-$version"
	convert assets/icon.png -strip -define icon:auto-resize=256,128,64,48,32,24,16 "$win/abut.ico"
	four=$(printf '%s.0.0.0' "$numbers" | cut -d. -f1-4)
	cat >"$win/abut.rc" <<EOF
#include <winver.h>
1 ICON "$win/abut.ico"
1 VERSIONINFO
FILEVERSION $(printf %s "$four" | tr . ,)
PRODUCTVERSION $(printf %s "$four" | tr . ,)
FILEFLAGSMASK VS_FFI_FILEFLAGSMASK
FILEOS VOS_NT_WINDOWS32
FILETYPE VFT_APP
BEGIN
  BLOCK "StringFileInfo"
  BEGIN
    BLOCK "040904b0"
    BEGIN
      VALUE "ProductName", "Abut"
      VALUE "FileDescription", "Abut"
      VALUE "FileVersion", "$version"
      VALUE "ProductVersion", "$version"
      VALUE "InternalName", "abut"
      VALUE "OriginalFilename", "abut.exe"
      VALUE "LegalCopyright", "The Abut authors, MIT License"
    END
  END
  BLOCK "VarFileInfo"
  BEGIN
    VALUE "Translation", 0x409, 1200
  END
END
1 24 "$PWD/$from/abut.manifest"
EOF
	# Go links what lies beside the sources.
	x86_64-w64-mingw32-windres -O coff -i "$win/abut.rc" -o "$win/abut.syso"
	trap 'rm -f cmd/abut/abut_windows_amd64.syso' EXIT
	cp "$win/abut.syso" cmd/abut/abut_windows_amd64.syso
	CC=x86_64-w64-mingw32-gcc compile windows 1 migrated_fynedo '-H=windowsgui -extldflags=-Wl,--no-insert-timestamp' "$win/abut-$version/abut.exe"
	rm -f cmd/abut/abut_windows_amd64.syso
	go -C tools run ./exe -version "$version" "$win/abut-$version/abut.exe" >&2
	licences windows >"$win/abut-$version/THIRD-PARTY.txt"
	sed 's/$/\r/' LICENSE >"$win/abut-$version/LICENSE.txt"
	sed "s/@VERSION@/$version/; s/\$/\r/" $from/README.txt >"$win/abut-$version/README.txt"
	settle "$win"
	(cd "$win" && find "abut-$version" -type f | sort | zip -X -q -9 -@ "$OLDPWD/dist/abut-$version-windows-amd64.zip")
	cp "$win/abut.ico" "$win/abut-$version/"
	makensis -V2 -NOCD "-DOUT=$PWD/dist/abut-$version-windows-amd64-setup.exe" "-DSTAGE=$win/abut-$version" "-DVERSION=$version" "-DNUMBERS=$four" $from/abut.nsi >&2
fi

(cd dist && sha256sum abut-* >SHA256SUMS)
say "in dist:"
ls -l dist >&2
