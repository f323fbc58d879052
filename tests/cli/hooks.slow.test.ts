import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:https';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { runProgram } from '../bench-live/bench-process.js';

/** The program as it is installed, its hooks in processes of their own. */
const logs = path.resolve(import.meta.dirname, '../../sample-logs');
const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-hooks-'));
const shopFile = path.join(folder, 'dwellmark.toml');
const read = (name: string): string =>
  existsSync(path.join(folder, name)) ? readFileSync(path.join(folder, name), 'utf8') : '';
const before = process.env.NODE_EXTRA_CA_CERTS;
let server: Server;
let port = 0;
const posted: { readonly body: string; readonly type: string | undefined }[] = [];
let answers: number[] = [];

beforeAll(async () => {
  const [key, cert] = [path.join(folder, 'key.pem'), path.join(folder, 'cert.pem')];
  const of = ['-subj', '/CN=localhost', '-addext', 'subjectAltName=DNS:localhost', '-days', '2', '-nodes'];
  execFileSync('openssl', ['req', '-x509', '-newkey', 'ed25519', '-keyout', key, '-out', cert, ...of], {
    stdio: 'ignore',
  });
  process.env.NODE_EXTRA_CA_CERTS = cert;
  server = createServer({ key: readFileSync(key), cert: readFileSync(cert) }, (request, response) => {
    let body = '';
    request.on('data', (piece) => (body += String(piece)));
    request.on('end', () => {
      posted.push({ body, type: request.headers['content-type'] });
      response.writeHead(answers.shift() ?? 200).end();
    });
  });
  await new Promise<void>((ready) => server.listen(0, 'localhost', ready));
  port = (server.address() as AddressInfo).port;
  mkdirSync(path.join(folder, 'jobs'));
  await runProgram(['init', '--yes', '--shop', folder, '--name', 'Harrow Fell Hydraulics']);
});
afterAll(() => {
  server.close();
  if (before === undefined) delete process.env.NODE_EXTRA_CA_CERTS;
  else process.env.NODE_EXTRA_CA_CERTS = before;
  rmSync(folder, { recursive: true, force: true });
});

const withHooks = (hooks: string): void => {
  const [without = ''] = readFileSync(shopFile, 'utf8').split('\n[hooks]');
  writeFileSync(shopFile, `${without}\n[hooks]\n${hooks}\n`);
};
const imported = () =>
  runProgram([
    'import',
    path.join(logs, 'tight.csv'),
    '--job',
    path.join(logs, 'tight.job.toml'),
    '--port',
    'A',
    '--shop',
    folder,
    '--json',
  ]);

it('a command gets the sealed test as JSON, and the import does not wait for it', async () => {
  const script = path.join(folder, 'slow.cjs');
  writeFileSync(
    script,
    `let text = ''; process.stdin.on('data', (piece) => (text += piece));
     process.stdin.on('end', () => setTimeout(() => require('node:fs').writeFileSync(${JSON.stringify(path.join(folder, 'got.json'))}, text), 6000));`,
  );
  withHooks(`sealed = '"${process.execPath}" "${script}"'`);
  const { said, code } = await imported();
  expect(code, said).toBe(0);
  // It takes six seconds, and was not waited for.
  expect(read('got.json')).toBe('');
  await expect.poll(() => read('got.json'), { timeout: 60_000, interval: 200 }).not.toBe('');
  const got = JSON.parse(read('got.json'));
  const { test, verdict, record } = JSON.parse(said.slice(said.indexOf('{')));
  expect(got).toMatchObject({
    event: 'sealed',
    shop: 'Harrow Fell Hydraulics',
    test,
    verdict,
    record: { head: record.head },
  });
  await expect.poll(() => read('hooks.log'), { timeout: 20_000 }).toContain(`sealed ${test}  try 1 of 5: taken`);
});

it('an https address gets it by POST, again after it was down, and a refusal is not tried again', async () => {
  withHooks(`sealed = "https://localhost:${port}/tests"`);
  answers = [503, 200];
  posted.length = 0;
  const { said } = await imported();
  const { test } = JSON.parse(said.slice(said.indexOf('{')));
  await expect.poll(() => posted.length, { timeout: 60_000, interval: 200 }).toBe(2);
  expect(posted[1]).toEqual(posted[0]);
  expect(posted[0]?.type).toBe('application/json');
  expect(JSON.parse(posted[0]?.body ?? '')).toMatchObject({ event: 'sealed', test });
  await expect.poll(() => read('hooks.log'), { timeout: 20_000 }).toContain(`${test}  try 2 of 5: taken`);
  expect(read('hooks.log')).toContain(`${test}  try 1 of 5: the address answered 503`);

  answers = [403];
  const refused = await runProgram(['hook', test.toLowerCase(), '--shop', folder]);
  expect(refused).toMatchObject({ code: 2 });
  expect(refused.said).toContain(`${test} was not handed over: the address answered 403`);
  expect(posted).toHaveLength(3);
  expect(await runProgram(['hook', test, '--shop', folder])).toMatchObject({
    code: 0,
    said: `${test} was handed over.\n`,
  });
});

it('an issued paper is handed over with its number and hash', async () => {
  withHooks(`issued = "https://localhost:${port}/papers"`);
  const text = readFileSync(shopFile, 'utf8');
  writeFileSync(shopFile, text.replace(/^required = .*$/m, 'required = []'));
  answers = [];
  posted.length = 0;
  const { said } = await imported();
  const { test } = JSON.parse(said.slice(said.indexOf('{')));
  const paper = await runProgram([
    'certificate',
    test,
    '--shop',
    folder,
    '-o',
    path.join(folder, 'paper.pdf'),
    '--json',
  ]);
  expect(paper.code, paper.said).toBe(0);
  await expect.poll(() => posted.length, { timeout: 60_000, interval: 200 }).toBe(1);
  const { number, sha256 } = JSON.parse(paper.said.slice(paper.said.search(/[[{]/)));
  expect(JSON.parse(posted[0]?.body ?? '')).toMatchObject({
    event: 'issued',
    test,
    paper: { number, pdfSha256: sha256 },
  });
});

it('a hook that is not there fails neither test nor paper, and a shop without one says so', async () => {
  withHooks('sealed = "/no/such/program"');
  const { said, code } = await imported();
  expect(code).toBe(0);
  const { test } = JSON.parse(said.slice(said.indexOf('{')));
  await expect
    .poll(() => read('hooks.log'), { timeout: 60_000, interval: 200 })
    .toMatch(`${test}  try 1 of 5: the command ended with 127`);
  withHooks('');
  const none = await runProgram(['hook', test, '--shop', folder]);
  expect(none).toMatchObject({ code: 2 });
  expect(none.said).toContain('no hook for sealed tests');
});
