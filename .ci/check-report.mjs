// Aim: report.html does what a builder does with it, in a real browser: read on a phone and on a desk, ticked, closed,
// opened again, printed. Reason: no test of ours can say what a browser makes of a page.
// Limits: one browser (chromium), two widths, light and dark.
// Use: node check-report.mjs TOOLS REPORT.html [TEXT...]   each TEXT must stand on the page as text.
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import fs from 'node:fs';
import path from 'node:path';

const [tools, file, ...texts] = process.argv.slice(2);
const require = createRequire(path.resolve(tools, 'x.js'));
const { chromium } = require('playwright-core');
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const url = pathToFileURL(path.resolve(file)).href;

const trouble = [];
const must = (holds, what) => { if (!holds) trouble.push(what); };

const executablePath = process.env.CHROMIUM || ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((p) => fs.existsSync(p));
const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
let axed = 0;
for (const [name, viewport, colorScheme] of [
  ['phone', { width: 390, height: 844 }, 'light'],
  ['phone, dark', { width: 390, height: 844 }, 'dark'],
  ['desk', { width: 1280, height: 900 }, 'light'],
]) {
  // The page's own policy forbids what the checker adds; the requests are watched all the same.
  const context = await browser.newContext({ viewport, colorScheme, bypassCSP: true });
  const page = await context.newPage();
  page.on('console', (m) => { if (m.type() === 'error' || m.type() === 'warning') trouble.push(`${name}: console says ${m.text()}`); });
  page.on('pageerror', (e) => trouble.push(`${name}: ${e.message}`));
  page.on('request', (r) => must(r.url() === url, `${name}: asks for ${r.url()}`));
  await page.goto(url);

  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  must(wide <= 0, `${name}: the page is ${wide} px wider than the screen`);
  for (const text of texts) {
    must((await page.locator('body').innerText()).includes(text), `${name}: "${text}" is not shown as text`);
  }
  must(await page.evaluate(() => window.ran === undefined), `${name}: a name was run as a script`);

  const boxes = page.locator('input[data-key]');
  const count = await boxes.count();
  must(count > 0, `${name}: nothing to tick`);
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  const targets = await page.evaluate(() => [...document.querySelectorAll('label.tick, summary, .nav a')]
    .map((e) => e.getBoundingClientRect()).filter((r) => Math.min(r.width, r.height) < 44).length);
  must(targets === 0, `${name}: ${targets} targets are smaller than 44 px`);
  const keys = await boxes.evaluateAll((all) => all.map((b) => b.dataset.key));
  must(new Set(keys).size === keys.length, `${name}: two boxes share a key`);

  const chosen = [...new Set([0, count >> 1, count - 1])];
  for (const i of chosen) await boxes.nth(i).check();
  await page.reload();
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  for (const i of chosen) must(await boxes.nth(i).isChecked(), `${name}: box ${i} lost its tick`);
  must(await page.locator('input[data-key]:checked').count() === chosen.length, `${name}: other boxes are ticked`);
  await boxes.nth(chosen[0]).uncheck();
  await page.reload();
  must(!(await boxes.nth(chosen[0]).isChecked()), `${name}: a tick taken away came back`);
  const sums = await page.evaluate(() => [...document.querySelectorAll('[data-count]')].map((s) => [Number(s.textContent),
    document.querySelectorAll(`table[data-list="${s.dataset.count}"] input:checked`).length]));
  must(sums.every(([a, b]) => a === b), `${name}: the counts of ticks are wrong`);

  if (name === 'desk') {
    const pdf = await page.pdf({ format: 'Letter' });
    must(pdf.subarray(0, 5).toString() === '%PDF-' && pdf.length > 20000, 'it does not print');
    if (process.env.PRINT) fs.writeFileSync(process.env.PRINT, pdf);
  }
  if (process.env.SHOT) await page.screenshot({ path: `${process.env.SHOT}-${name.replace(/\W+/g, '-')}.png`, fullPage: false });
  await page.evaluate(() => document.querySelectorAll('details').forEach((d, i) => { d.open = i < 2; }));
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
  axed += found.passes.length;
  for (const v of found.violations) trouble.push(`${name}: axe ${v.id}: ${v.help} (${v.nodes.length}): ${v.nodes[0].html.slice(0, 160)}`);
  must(found.passes.length > 10, `${name}: axe looked at next to nothing`);
  await context.close();
}

// With its own policy in force nothing is refused, so the page asks for nothing that it forbids.
const strict = await (await browser.newContext()).newPage();
strict.on('console', (m) => { if (m.type() === 'error') trouble.push(`policy: ${m.text()}`); });
await strict.goto(url);
await browser.close();

if (trouble.length) {
  console.log(trouble.slice(0, 30).map((t) => `  ${t}`).join('\n'));
  process.exit(1);
}
console.log(`  two widths, light and dark; ${axed} rules of axe-core passed, none broken`);
