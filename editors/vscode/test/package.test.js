'use strict';

const assert = require('node:assert');
const fs = require('node:fs');
const path = require('node:path');
const test = require('node:test');

const root = path.join(__dirname, '..');
const read = (file) => fs.readFileSync(path.join(root, file), 'utf8');
const described = JSON.parse(read('package.json'));
const configuration = JSON.parse(read('language-configuration.json'));
const rule = (text) => new RegExp(text);

test('what the description names is there', () => {
  const { languages, grammars, commands } = described.contributes;
  assert.ok(fs.existsSync(path.join(root, languages[0].configuration)));
  assert.strictEqual(JSON.parse(read(grammars[0].path)).scopeName, grammars[0].scopeName);
  assert.strictEqual(grammars[0].language, languages[0].id);
  const source = read('src/extension.js');
  for (const { command } of commands) {
    assert.ok(source.includes(`'${command}'`), command);
  }
});

test('a field stands under its entry, and a page begins at the margin', () => {
  const deeper = rule(configuration.indentationRules.increaseIndentPattern);
  assert.ok(deeper.test('spray creek-pear'));
  assert.ok(!deeper.test('    put sulfur 3 lb'));
  assert.ok(!deeper.test('2026-05-14 Thu'));
  assert.ok(!deeper.test('# a remark'));
  assert.ok(!rule(configuration.indentationRules.decreaseIndentPattern).test(''));
});

test('a name is one word, with its hyphens', () => {
  const word = new RegExp(`^(?:${configuration.wordPattern})$`);
  for (const name of ['creek-pear', 'fruit-set', 'épsom', '2026-05-14', '05:50', '1/2']) {
    assert.ok(word.test(name), name);
  }
  assert.ok(!word.test('creek pear'));
});

test('the lock file names no server', () => {
  assert.doesNotMatch(read('package-lock.json'), /"resolved"|https?:\/\/registry/);
});
