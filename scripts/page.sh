#!/bin/sh
# The page: a fresh build must equal the committed one; then its own tests and the browser.
set -eu
cd "$(dirname "$0")/../web"
export PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1
npm ci --no-audit --no-fund </dev/null
npm run check
npm run lint
npm run test
npm run build
if ! git diff --exit-code --stat -- dist || [ -n "$(git status --porcelain -- dist)" ]; then
	echo "web/dist is stale: run make web and commit it" >&2
	exit 1
fi
npm run e2e
