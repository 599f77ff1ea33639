#!/bin/sh
# What the browser measures: start to usable, a wheel pull to its number, a save to every answer. Prints wanted beside measured.
set -eu
sh "$(dirname "$0")/setup.sh"
cd "$(dirname "$0")/../web"
export PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1
[ -d node_modules ] || npm ci --no-audit --no-fund </dev/null
npx playwright test speed.spec.ts --reporter=line </dev/null | node -e '
let rest = "";
process.stdin.on("data", (d) => (rest += d)).on("end", () => {
  for (const line of rest.split("\n")) {
    const at = line.indexOf("{\"what\"");
    if (at < 0) { if (/failed|passed|Error/.test(line)) console.log(line.trim()); continue; }
    const m = JSON.parse(line.slice(at));
    console.log(`${m.what}: ${m.ms} ms (wanted at most ${m.wanted_ms} ms)`);
  }
});'
