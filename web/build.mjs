// Bundles the browser's part into dist. Every name carries a hash of its contents; manifest.json tells the
// server which name to use.
import { build } from "esbuild";
import { mkdir, readdir, rm, writeFile } from "node:fs/promises";
import { basename } from "node:path";

const out = "dist";
await mkdir(out, { recursive: true });
for (const name of await readdir(out)) {
  if (name !== ".gitkeep") await rm(`${out}/${name}`, { recursive: true });
}

const result = await build({
  entryPoints: [
    { in: "src/main.ts", out: "culm" },
    { in: "src/style/culm.css", out: "culm" },
    { in: "src/style/type.css", out: "type" },
  ],
  outdir: out,
  entryNames: "[name]-[hash]",
  assetNames: "[name]-[hash]",
  bundle: true,
  minify: true,
  format: "esm",
  target: ["es2022", "chrome120", "firefox121", "safari17"],
  // The server gives both files one folder, so the style sheets name their files beside them.
  publicPath: "/assets",
  loader: { ".woff2": "file", ".svg": "copy" },
  metafile: true,
  logLevel: "warning",
});
const mark = await build({
  entryPoints: [{ in: "static/mark.svg", out: "mark" }],
  outdir: out,
  entryNames: "[name]-[hash]",
  loader: { ".svg": "copy" },
  metafile: true,
  logLevel: "warning",
});

const names = {};
for (const path of [...Object.keys(result.metafile.outputs), ...Object.keys(mark.metafile.outputs)]) {
  const name = basename(path);
  const plain = name.replace(/-[A-Z0-9]{8}(?=\.)/, "");
  // The type of the common letters is asked for ahead of its style sheet.
  names[plain.includes("-latin-wght-normal") ? "type.woff2" : plain] = name;
}
await writeFile(`${out}/manifest.json`, JSON.stringify(names, null, 2) + "\n");
