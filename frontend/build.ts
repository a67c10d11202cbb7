/** Builds what the pages load into src/borewright/web/static: three scripts, one style sheet, the sign, the fonts and their licence. */

import { copyFile, mkdir, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { build } from "esbuild";

const here = import.meta.dirname;
const out = join(here, "..", "src", "borewright", "web", "static");
const fontPackage = dirname(createRequire(import.meta.url).resolve("@fontsource/atkinson-hyperlegible/package.json"));

await rm(out, { recursive: true, force: true });
await mkdir(join(out, "fonts"), { recursive: true });
await build({
    absWorkingDir: here,
    entryPoints: { app: "src/main.ts", early: "src/early.ts", away: "src/away.ts" },
    entryNames: "[name]",
    bundle: true,
    format: "iife",
    target: "es2022",
    minify: true,
    legalComments: "none",
    outdir: out,
    logLevel: "warning",
});
await build({
    absWorkingDir: here,
    entryPoints: { app: "css/app.css" },
    entryNames: "[name]",
    assetNames: "fonts/[name]-[hash]",
    bundle: true,
    loader: { ".woff2": "file" },
    minify: true,
    outdir: out,
    logLevel: "warning",
});
await copyFile(join(fontPackage, "LICENSE"), join(out, "fonts", "LICENSE.txt"));
await copyFile(join(here, "icon.svg"), join(out, "icon.svg"));
