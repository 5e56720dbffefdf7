// Aim: the reference glTF validator has nothing to say about a model: no error and no warning.
// Reason: a viewer that forgives a fault today need not do so tomorrow. Limits: infos and hints are printed, not counted.
// Use: node validate-glb.mjs TOOLS_FOLDER MODEL.glb ...   (gltf-validator is installed in TOOLS_FOLDER/node_modules)

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";

const [tools, ...files] = process.argv.slice(2);
if (files.length === 0) {
  console.error("use: node validate-glb.mjs TOOLS_FOLDER MODEL.glb ...");
  process.exit(2);
}
const { validateBytes, version } = createRequire(join(resolve(tools), "package.json"))("gltf-validator");

let broken = 0;
for (const file of files) {
  let report;
  try {
    report = await validateBytes(new Uint8Array(readFileSync(file)), { maxIssues: 0, format: "glb" });
  } catch (error) {
    console.log(`  ${file}: not read: ${error}`);
    broken += 1;
    continue;
  }
  const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
  const { totalTriangleCount, drawCallCount } = report.info ?? {};
  console.log(
    `  glTF-Validator ${version()}: ${numErrors} errors, ${numWarnings} warnings, ${numInfos} infos, ${numHints} hints` +
      ` (${drawCallCount} meshes in place, ${totalTriangleCount} triangles)`,
  );
  const grave = messages.filter((m) => m.severity <= 1);
  for (const m of grave.slice(0, 20)) {
    console.log(`    ${["error", "warning"][m.severity]} ${m.code} at ${m.pointer ?? m.offset}: ${m.message}`);
  }
  if (numErrors > 0 || numWarnings > 0 || report.mimeType !== "model/gltf-binary") {
    broken += 1;
  }
}
process.exit(broken === 0 ? 0 : 1);
