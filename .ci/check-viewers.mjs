// Aim: model.glb is whole and right in the web viewers that people have. Reason: a viewer may show nothing, or one part of
// many, without an error. How: three.js, Babylon.js and model-viewer load the file in Chromium; the box that each makes of
// it must be as large as that of model.stl beside it and stand where the others put it (the STL counts from the roof's
// middle), and the picture must not be empty.
// Limits: software rendering; times are printed, never judged.
// Use: node check-viewers.mjs TOOLS FOLDER...   folders that `airlath build` has written
import { createRequire } from 'node:module';
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';

const [tools, ...folders] = process.argv.slice(2);
const modules = path.resolve(tools, 'node_modules');
const { chromium } = createRequire(path.join(path.resolve(tools), 'x.js'))('playwright-core');
// How far a box may be off, metres: both files hold places as single numbers.
const OFF = 1e-3;
// Least share of the picture that shows something.
const PAINTED = 0.02;

// Bounds of a binary STL in millimetres, z up, as metres, y up.
function stlBounds(file) {
  const bytes = fs.readFileSync(file);
  const count = bytes.readUInt32LE(80);
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (let t = 0; t < count; t++) {
    for (let c = 0; c < 9; c++) {
      const v = bytes.readFloatLE(84 + 50 * t + 12 + 4 * c) / 1000;
      if (v < low[c % 3]) low[c % 3] = v;
      if (v > high[c % 3]) high[c % 3] = v;
    }
  }
  const up = ([x, y, z]) => [x, z, -y];
  const [a, b] = [up(low), up(high)];
  return [a.map((v, i) => Math.min(v, b[i])), a.map((v, i) => Math.max(v, b[i]))];
}

const page = (head, script) => `<!doctype html><meta charset="utf-8"><style>html,body{margin:0;background:#fff}
  canvas,model-viewer{width:640px;height:480px;display:block;background:#fff}</style>${head}<body><script type="module">${script}</script>`;
const show = `window.done = (async () => { const from = performance.now(); `;
const pages = {
  'three.js': page(
    '<script type="importmap">{"imports":{"three":"/m/three/build/three.module.js","three/addons/":"/m/three/examples/jsm/"}}</script>',
    `import * as THREE from 'three'; import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
    ${show}
    const gltf = await new GLTFLoader().loadAsync('/model.glb');
    const scene = new THREE.Scene(); scene.background = new THREE.Color('#fff'); scene.add(gltf.scene);
    scene.add(new THREE.HemisphereLight('#fff', '#888', 3));
    scene.updateMatrixWorld(true);
    const box = new THREE.Box3().setFromObject(gltf.scene, true);
    const middle = box.getCenter(new THREE.Vector3()), size = box.getSize(new THREE.Vector3()).length();
    const camera = new THREE.PerspectiveCamera(45, 4 / 3, size / 100, size * 10);
    camera.position.copy(middle).add(new THREE.Vector3(0.5, 0.7, 0.6).multiplyScalar(size)); camera.lookAt(middle);
    const renderer = new THREE.WebGLRenderer({ preserveDrawingBuffer: true });
    renderer.setSize(640, 480); document.body.append(renderer.domElement); renderer.render(scene, camera);
    let meshes = 0; gltf.scene.traverse((o) => { meshes += o.isMesh ? 1 : 0; });
    return { low: box.min.toArray(), high: box.max.toArray(), meshes, ms: performance.now() - from }; })();`,
  ),
  'Babylon.js': page(
    '<script src="/m/babylonjs/babylon.js"></script><script src="/m/babylonjs-loaders/babylonjs.loaders.min.js"></script><canvas id="c" width="640" height="480"></canvas>',
    `${show}
    const engine = new BABYLON.Engine(document.getElementById('c'), true, { preserveDrawingBuffer: true });
    const scene = new BABYLON.Scene(engine); scene.useRightHandedSystem = true;
    scene.clearColor = new BABYLON.Color4(1, 1, 1, 1);
    await BABYLON.SceneLoader.AppendAsync('/', 'model.glb', scene);
    scene.meshes.forEach((m) => m.computeWorldMatrix(true));
    let min = new BABYLON.Vector3(Infinity, Infinity, Infinity), max = min.scale(-1);
    const p = new BABYLON.Vector3();
    for (const mesh of scene.meshes) {
      const data = mesh.getVerticesData(BABYLON.VertexBuffer.PositionKind); if (!data) continue;
      const own = mesh.getWorldMatrix(), places = mesh.hasThinInstances ? mesh.thinInstanceGetWorldMatrices().map((w) => w.multiply(own)) : [own];
      for (const place of places) for (let i = 0; i < data.length; i += 3) {
        BABYLON.Vector3.TransformCoordinatesFromFloatsToRef(data[i], data[i + 1], data[i + 2], place, p);
        min.minimizeInPlace(p); max.maximizeInPlace(p);
      }
    }
    const middle = min.add(max).scale(0.5), size = max.subtract(min).length();
    const camera = new BABYLON.FreeCamera('c', middle.add(new BABYLON.Vector3(0.5, 0.7, 0.6).scale(size)), scene);
    camera.setTarget(middle); camera.minZ = size / 100; camera.maxZ = size * 10;
    new BABYLON.HemisphericLight('l', new BABYLON.Vector3(0, 1, 0), scene);
    await scene.whenReadyAsync(); scene.render();
    const meshes = scene.meshes.filter((m) => m.getTotalVertices() > 0).length;
    return { low: min.asArray(), high: max.asArray(), meshes, ms: performance.now() - from }; })();`,
  ),
  'model-viewer': page(
    '<script type="importmap">{"imports":{}}</script><script type="module" src="/m/@google/model-viewer/dist/model-viewer.min.js"></script>',
    `${show}
    const viewer = document.createElement('model-viewer');
    viewer.setAttribute('camera-orbit', '40deg 55deg 105%'); viewer.setAttribute('interaction-prompt', 'none');
    const loaded = new Promise((good, bad) => { viewer.addEventListener('load', good); viewer.addEventListener('error', (e) => bad(new Error(JSON.stringify(e.detail)))); });
    viewer.src = '/model.glb'; document.body.append(viewer); await loaded;
    const ms = performance.now() - from;
    await new Promise((r) => setTimeout(r, 1500));
    const size = viewer.getDimensions(), at = viewer.getBoundingBoxCenter();
    return { low: [at.x - size.x / 2, at.y - size.y / 2, at.z - size.z / 2], high: [at.x + size.x / 2, at.y + size.y / 2, at.z + size.z / 2], meshes: 0, ms }; })();`,
  ),
};

let serving = '';
const types = { '.js': 'text/javascript', '.glb': 'model/gltf-binary' };
const server = http.createServer((request, response) => {
  const url = decodeURIComponent(new URL(request.url, 'http://x').pathname);
  if (url === '/favicon.ico') return void response.writeHead(204).end();
  const name = url.slice(1);
  if (pages[name]) return void response.setHeader('content-type', 'text/html').end(pages[name]);
  const file = url === '/model.glb' ? path.join(serving, 'model.glb') : path.join(modules, url.replace(/^\/m\//, ''));
  if (!fs.existsSync(file)) return void response.writeHead(404).end();
  response.setHeader('content-type', types[path.extname(file)] ?? 'application/octet-stream');
  fs.createReadStream(file).pipe(response);
});
await new Promise((good) => server.listen(0, '127.0.0.1', good));
const origin = `http://127.0.0.1:${server.address().port}`;
const executablePath = process.env.CHROMIUM || ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((p) => fs.existsSync(p));
const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--ignore-gpu-blocklist'],
});

// The share of a picture that differs from its last pixel: a bar of progress may stand above.
async function painted(png) {
  const blank = await browser.newPage();
  const share = await blank.evaluate(async (data) => {
    const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
    const canvas = new OffscreenCanvas(image.width, image.height), context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    const { data: p } = context.getImageData(0, 0, image.width, image.height);
    const q = p.slice(-4);
    let other = 0;
    for (let i = 0; i < p.length; i += 4) other += Math.abs(p[i] - q[0]) + Math.abs(p[i + 1] - q[1]) + Math.abs(p[i + 2] - q[2]) > 24 ? 1 : 0;
    return other / (p.length / 4);
  }, png.toString('base64'));
  await blank.close();
  return share;
}

let trouble = 0;
for (const folder of folders) {
  serving = path.resolve(folder);
  const [low, high] = stlBounds(path.join(serving, 'model.stl'));
  let first;
  for (const viewer of Object.keys(pages)) {
    const said = [];
    const must = (holds, what) => { if (!holds) said.push(what); };
    const tab = await browser.newPage({ viewport: { width: 640, height: 480 } });
    tab.on('pageerror', (e) => said.push(`page error: ${e.message}`));
    tab.setDefaultTimeout(240000);
    try {
      await tab.goto(`${origin}/${viewer}`);
      await tab.waitForFunction('window.done !== undefined');
      const got = await tab.evaluate('window.done');
      first ??= got;
      const off = Math.max(...[0, 1, 2].flatMap((i) => [
        Math.abs(got.high[i] - got.low[i] - (high[i] - low[i])), Math.abs(got.low[i] - first.low[i]), Math.abs(got.high[i] - first.high[i])]));
      must(off < OFF, `its box is ${off.toFixed(4)} m off: ${JSON.stringify([got.low, got.high])} against ${JSON.stringify([low, high])}`);
      const picture = await tab.screenshot();
      if (process.env.PICTURES) fs.writeFileSync(path.join(process.env.PICTURES, `${path.basename(folder)}-${viewer}.png`), picture);
      const share = await painted(picture);
      must(share > PAINTED, `only ${(share * 100).toFixed(2)} % of the picture shows something`);
      console.log(`  ${path.basename(folder)} in ${viewer}: ${Math.round(got.ms)} ms, box off by ${(off * 1000).toFixed(3)} mm, ${(share * 100).toFixed(0)} % painted${got.meshes ? `, ${got.meshes} meshes` : ''}`);
    } catch (e) {
      said.push(e.message);
    }
    await tab.close();
    for (const what of said) console.log(`  ${path.basename(folder)} in ${viewer}: ${what}`);
    trouble += said.length;
  }
}
await browser.close();
server.close();
process.exit(trouble ? 1 : 0);
