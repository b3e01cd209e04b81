'use strict';

const assert = require('node:assert');
const test = require('node:test');
const { faked } = require('./faked.js');

const context = () => ({ subscriptions: [] });

test('starts foliary from the path, for journals alone', async () => {
  const { extension, seen } = faked();
  await extension.activate(context());
  assert.strictEqual(seen.clients.length, 1);
  const [client] = seen.clients;
  assert.strictEqual(client.started, 1);
  assert.deepStrictEqual(client.server, { command: 'foliary', args: ['editor'] });
  assert.deepStrictEqual(client.options.documentSelector, [{ scheme: 'file', language: 'foliary' }]);
});

test('starts the program that the settings name', async () => {
  const { extension, seen } = faked({ settings: { 'foliary.path': '/opt/foliary' } });
  await extension.activate(context());
  assert.strictEqual(seen.clients[0].server.command, '/opt/foliary');
});

test('starts again by the command and when the path is changed', async () => {
  const { extension, seen, settings } = faked();
  await extension.activate(context());
  await seen.commands['foliary.restart']();
  assert.strictEqual(seen.clients[0].stopped, 1);
  assert.strictEqual(seen.clients[1].started, 1);
  settings['foliary.path'] = '/opt/other';
  await seen.changed[0]({ affectsConfiguration: (name) => name === 'foliary.path' });
  assert.strictEqual(seen.clients[2].server.command, '/opt/other');
  await seen.changed[0]({ affectsConfiguration: () => false });
  assert.strictEqual(seen.clients.length, 3);
});

test('says what to do where the program cannot be started, and can be stopped all the same', async () => {
  const { extension, seen } = faked({ fails: true });
  await extension.activate(context());
  assert.match(seen.errors[0], /could not start “foliary”.*Install foliary, or say in the settings where it is/);
  assert.deepStrictEqual(seen.executed, [['workbench.action.openSettings', 'foliary.path']]);
  await extension.deactivate();
});

test('stops the server at the end', async () => {
  const { extension, seen } = faked();
  await extension.activate(context());
  await extension.deactivate();
  assert.strictEqual(seen.clients[0].stopped, 1);
});
