// Reads STL files with three's STLLoader. Question on standard input: file names as JSON. Answer: for each {triangles, lo, hi, corners},
// corners flat.
import { readFileSync } from "node:fs";
import { STLLoader } from "three/examples/jsm/loaders/STLLoader.js";

const out = JSON.parse(readFileSync(0, "utf8")).map((name) => {
  const data = readFileSync(name);
  const g = new STLLoader().parse(data.buffer.slice(data.byteOffset, data.byteOffset + data.length));
  g.computeBoundingBox();
  const at = g.getAttribute("position");
  return { triangles: at.count / 3, lo: g.boundingBox.min.toArray(), hi: g.boundingBox.max.toArray(), corners: [...at.array] };
});
process.stdout.write(JSON.stringify(out) + "\n");
