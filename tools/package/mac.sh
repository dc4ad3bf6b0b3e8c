#!/bin/sh
# Builds Abut.app on a Mac that has Go and the command line tools: sh tools/package/mac.sh
# Written without a Mac at hand and not tried on one.
set -eu
cd "$(dirname "$0")/../.."
version=${1:-$(sed -n 's/^Version = "\(.*\)"/\1/p' FyneApp.toml)}
app=dist/Abut.app
rm -rf "$app"
mkdir -p "$app/Contents/MacOS" "$app/Contents/Resources" dist/abut.iconset
go build -tags migrated_fynedo -trimpath -ldflags "-s -w -X abut.stamp=$version" -o "$app/Contents/MacOS/abut" ./cmd/abut
for s in 16 32 128 256 512; do
	sips -z $s $s assets/icon.png --out "dist/abut.iconset/icon_${s}x$s.png" >/dev/null
	sips -z $((2 * s)) $((2 * s)) assets/icon.png --out "dist/abut.iconset/icon_${s}x$s@2x.png" >/dev/null
done
iconutil -c icns -o "$app/Contents/Resources/abut.icns" dist/abut.iconset
rm -r dist/abut.iconset
numbers=$(printf %s "$version" | sed 's/^v//; s/[^0-9.].*$//')
sed "s/@VERSION@/$version/; s/@NUMBERS@/$numbers/" tools/package/Info.plist >"$app/Contents/Info.plist"
cp LICENSE "$app/Contents/Resources/LICENSE.txt"
echo "$app is built. It is not signed: open it with a right click the first time."
