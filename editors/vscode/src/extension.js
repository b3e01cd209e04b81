// Starts foliary's language server for the journals of this window; everything else is the server's.
'use strict';

const vscode = require('vscode');
const { LanguageClient } = require('vscode-languageclient/node');

let client;

/** What is started: the program of the settings, with the command that answers editors. */
function serverOptions(path) {
  return { command: path, args: ['editor'] };
}

/** The server itself asks for the files that it wants watched. */
const clientOptions = { documentSelector: [{ scheme: 'file', language: 'foliary' }] };

async function start() {
  const path = vscode.workspace.getConfiguration('foliary').get('path') || 'foliary';
  client = new LanguageClient('foliary', 'Foliary', serverOptions(path), clientOptions);
  try {
    await client.start();
  } catch (error) {
    client = undefined;
    const choice = await vscode.window.showErrorMessage(
      `Foliary could not start “${path}”: ${error.message}. Install foliary, or say in the settings where it is.`,
      'Open the setting',
    );
    if (choice) {
      await vscode.commands.executeCommand('workbench.action.openSettings', 'foliary.path');
    }
  }
}

async function stop() {
  const stopped = client;
  client = undefined;
  if (stopped) {
    await stopped.stop();
  }
}

async function restart() {
  await stop();
  await start();
}

async function activate(context) {
  context.subscriptions.push(
    vscode.commands.registerCommand('foliary.restart', restart),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration('foliary.path')) {
        return restart();
      }
      return undefined;
    }),
  );
  await start();
}

module.exports = { activate, deactivate: stop };
