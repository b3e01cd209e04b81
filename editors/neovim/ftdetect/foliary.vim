autocmd BufRead,BufNewFile *.spray setfiletype foliary
