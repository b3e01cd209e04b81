// Writes a letter for each character of the journals in a folder, by the scopes that a TextMate grammar gives them.
const fs = require('fs');
const path = require('path');
const oniguruma = require('vscode-oniguruma');
const { INITIAL, Registry, parseRawGrammar } = require('vscode-textmate');

const [grammarFile, folder, scopeName, letters] = process.argv.slice(2);
const letterOf = JSON.parse(letters);

async function main() {
  const wasm = fs.readFileSync(path.join(path.dirname(require.resolve('vscode-oniguruma')), 'onig.wasm'));
  await oniguruma.loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.length));
  const registry = new Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => parseRawGrammar(fs.readFileSync(grammarFile, 'utf8'), grammarFile),
  });
  const grammar = await registry.loadGrammar(scopeName);
  for (const file of fs.readdirSync(folder).filter((name) => name.endsWith('.spray'))) {
    const text = fs.readFileSync(path.join(folder, file), 'utf8').replace(/\n$/, '');
    let stack = INITIAL;
    const shown = text.split('\n').map((line) => {
      const read = grammar.tokenizeLine(line, stack);
      stack = read.ruleStack;
      const units = new Array(line.length).fill('.');
      for (const token of read.tokens) {
        const letter = letterOf[token.scopes[token.scopes.length - 1]] || '.';
        units.fill(letter, token.startIndex, token.endIndex);
      }
      let at = 0;
      return Array.from(line, (character) => {
        const letter = units[at];
        at += character.length;
        return letter;
      }).join('');
    });
    fs.writeFileSync(path.join(folder, file.replace('.spray', '.shown')), shown.join('\n') + '\n');
  }
}

main();
