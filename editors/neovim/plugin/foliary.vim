" Hands every journal to foliary's language server.
if exists('g:loaded_foliary') || !has('nvim-0.7')
  finish
endif
let g:loaded_foliary = 1

augroup foliary
  autocmd!
  autocmd FileType foliary lua require('foliary').attach(tonumber(vim.fn.expand('<abuf>')))
augroup END
