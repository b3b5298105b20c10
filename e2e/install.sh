#!/usr/bin/env bash
# What the browser tests need: a browser of the system, and two packages of fixed version.
set -euo pipefail
cd "$(dirname "$0")"
if ! command -v chromium >/dev/null; then
    apt-get update -qq && apt-get install -y -qq chromium >/dev/null
fi
if ! command -v npm >/dev/null; then
    apt-get update -qq && apt-get install -y -qq nodejs npm >/dev/null
fi
npm ci --silent --ignore-scripts
