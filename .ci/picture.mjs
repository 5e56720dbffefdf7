// Aim: the picture of examples/ in the README. Reason: made by hand it shows a corner, or last year's model. How: three.js draws
// model.glb in Chromium from the eave, and the view is set to what the model's own corners fill.
// Limits: software rendering; the look is that of a plain viewer.
// Use: node picture.mjs TOOLS MODEL.glb PICTURE.png   (TOOLS as for check-viewers.mjs)
import { createRequire } from 'node:module';
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';

const [tools, model, picture] = process.argv.slice(2);
const modules = path.resolve(tools, 'node_modules');
const { chromium } = createRequire(path.join(path.resolve(tools), 'x.js'))('playwright-core');
const [width, height] = [1200, 640];

const page = `<!doctype html><meta charset="utf-8"><style>html,body{margin:0}</style>
  <script type="importmap">{"imports":{"three":"/m/three/build/three.module.js","three/addons/":"/m/three/examples/jsm/"}}</script>
  <body><script type="module">
  import * as THREE from 'three'; import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
  window.done = (async () => {
    const gltf = await new GLTFLoader().loadAsync('/model.glb');
    const scene = new THREE.Scene(); scene.background = new THREE.Color('#fff'); scene.add(gltf.scene);
    scene.add(new THREE.HemisphereLight('#fff', '#999', 2.2));
    const sun = new THREE.DirectionalLight('#fff', 1.4); sun.position.set(-2, 4, 3); scene.add(sun);
    scene.updateMatrixWorld(true);
    const box = new THREE.Box3().setFromObject(gltf.scene, true);
    const middle = box.getCenter(new THREE.Vector3()), size = box.getSize(new THREE.Vector3()).length();
    const camera = new THREE.PerspectiveCamera(30, ${width / height}, size / 100, size * 10);
    camera.position.copy(middle).addScaledVector(new THREE.Vector3(-0.4, 0.62, 0.75).normalize(), size * 2.2);
    camera.lookAt(middle); camera.updateMatrixWorld();
    const low = new THREE.Vector2(1, 1), high = new THREE.Vector2(-1, -1), p = new THREE.Vector3();
    gltf.scene.traverse((o) => {
      const places = o.isMesh && o.geometry.attributes.position;
      for (let i = 0; places && i < places.count; i++) {
        p.fromBufferAttribute(places, i).applyMatrix4(o.matrixWorld).project(camera); low.min(p); high.max(p);
      }
    });
    const [w, h] = [${width}, ${height}], share = 1.04 * Math.max(high.x - low.x, high.y - low.y) / 2;
    const left = ((low.x + high.x) / 2 + 1 - share) / 2 * w, top = (1 - (low.y + high.y) / 2 - share) / 2 * h;
    camera.setViewOffset(w, h, left, top, w * share, h * share);
    const renderer = new THREE.WebGLRenderer({ antialias: true, preserveDrawingBuffer: true });
    renderer.setSize(w, h); document.body.append(renderer.domElement); renderer.render(scene, camera);
    return true;
  })();
  </script>`;

const server = http.createServer((request, response) => {
  const url = decodeURIComponent(new URL(request.url, 'http://x').pathname);
  if (url === '/') return void response.setHeader('content-type', 'text/html').end(page);
  const file = url === '/model.glb' ? model : path.join(modules, url.replace(/^\/m\//, ''));
  if (!fs.existsSync(file)) return void response.writeHead(404).end();
  response.setHeader('content-type', file.endsWith('.js') ? 'text/javascript' : 'model/gltf-binary');
  fs.createReadStream(file).pipe(response);
});
await new Promise((good) => server.listen(0, '127.0.0.1', good));
const executablePath = process.env.CHROMIUM || ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((p) => fs.existsSync(p));
const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--ignore-gpu-blocklist'],
});
const tab = await browser.newPage({ viewport: { width, height } });
tab.setDefaultTimeout(240000);
await tab.goto(`http://127.0.0.1:${server.address().port}/`);
await tab.waitForFunction('window.done !== undefined');
await tab.evaluate('window.done');
await tab.screenshot({ path: picture });
await browser.close();
server.close();
