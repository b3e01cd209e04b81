" Foliary journals: remarks, indentation, folds.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal comments=:# commentstring=#\ %s
setlocal expandtab shiftwidth=4 softtabstop=4
" Names hold hyphens.
setlocal iskeyword+=-
setlocal foldmethod=expr foldexpr=getline(v:lnum)=~'^\\S'&&getline(v:lnum)!~'^#'?'>1':'=' foldlevel=99

let b:undo_ftplugin = 'setlocal comments< commentstring< expandtab< shiftwidth< softtabstop< iskeyword< foldmethod< foldexpr< foldlevel<'
