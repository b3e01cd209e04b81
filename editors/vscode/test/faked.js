// Stands in for the editor and for the client library, and keeps what was asked of them.
'use strict';

const Module = require('module');

function faked({ settings = {}, fails = false } = {}) {
  const seen = { clients: [], commands: {}, errors: [], executed: [], changed: [] };
  const vscode = {
    workspace: {
      getConfiguration: (section) => ({ get: (key) => settings[`${section}.${key}`] }),
      onDidChangeConfiguration: (heard) => {
        seen.changed.push(heard);
        return { dispose() {} };
      },
    },
    commands: {
      registerCommand: (name, run) => {
        seen.commands[name] = run;
        return { dispose() {} };
      },
      executeCommand: async (...words) => seen.executed.push(words),
    },
    window: {
      showErrorMessage: async (message, ...choices) => {
        seen.errors.push(message);
        return choices[0];
      },
    },
  };
  class LanguageClient {
    constructor(id, name, server, options) {
      Object.assign(this, { id, name, server, options, started: 0, stopped: 0 });
      seen.clients.push(this);
    }

    async start() {
      if (fails) {
        throw new Error('spawn ENOENT');
      }
      this.started += 1;
    }

    async stop() {
      this.stopped += 1;
    }
  }
  const load = Module._load;
  Module._load = function (request, ...rest) {
    if (request === 'vscode') return vscode;
    if (request === 'vscode-languageclient/node') return { LanguageClient };
    return load.call(this, request, ...rest);
  };
  try {
    const path = require.resolve('../src/extension.js');
    delete require.cache[path];
    return { extension: require(path), seen, settings };
  } finally {
    Module._load = load;
  }
}

module.exports = { faked };
