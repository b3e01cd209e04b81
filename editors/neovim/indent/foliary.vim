" Fields stand under their entry; what follows a blank line or a date begins at the margin.
if exists('b:did_indent')
  finish
endif
let b:did_indent = 1

setlocal indentexpr=FoliaryIndent(v:lnum) indentkeys=o,O autoindent
let b:undo_indent = 'setlocal indentexpr< indentkeys< autoindent<'

function! FoliaryIndent(line) abort
  let l:above = getline(a:line - 1)
  if l:above =~# '^\s*$' || l:above =~# '^\d'
    return 0
  endif
  return l:above =~# '^[^[:space:]#]' ? shiftwidth() : indent(a:line - 1)
endfunction
