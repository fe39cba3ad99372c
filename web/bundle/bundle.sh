#!/usr/bin/env bash
# Bundles what the page uses of three.js into page/three.js. Run by hand when
# its version changes; the result is kept, so that go build needs nothing else.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp package.json package-lock.json entry.js "$scratch"
(cd "$scratch" && npm ci --ignore-scripts --no-audit --no-fund)
go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 "$scratch/entry.js" --bundle --minify --format=esm --legal-comments=inline --outfile=../page/three.js
cp "$scratch/node_modules/three/LICENSE" ../page/three-licence.txt
