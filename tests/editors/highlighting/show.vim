" Writes a letter for each character of the journals in a folder, by the syntax group that it is shown in.
try
  filetype on
  syntax on
  let s:letters = json_decode($FOLIARY_LETTERS)
  " Groups of one kind are linked to the group of the kind, which is where the look-up has to stop.
  let s:known = {}
  function! s:Letter(id) abort
    if !has_key(s:known, a:id)
      let l:name = synIDattr(a:id, 'name')
      let l:letter = get(s:letters, l:name, '')
      if l:letter ==# ''
        let l:kind = substitute(execute('highlight ' . l:name), '^.*links to \(\w\+\).*$', '\1', '')
        let l:letter = get(s:letters, substitute(l:kind, '\n', '', 'g'), '.')
      endif
      let s:known[a:id] = l:letter
    endif
    return s:known[a:id]
  endfunction

  for s:file in glob($FOLIARY_PLACE . '/*.spray', 0, 1)
    execute 'silent edit' fnameescape(s:file)
    if &filetype !=# 'foliary'
      throw 'the file type is ' . &filetype
    endif
    let s:shown = []
    for s:line in range(1, line('$'))
      let s:words = getline(s:line)
      let s:letters_of_line = []
      let s:column = 0
      for s:character in split(s:words, '\zs')
        " Blanks have no colour.
        let s:id = s:character =~# '\s' ? 0 : synID(s:line, s:column + 1, 1)
        call add(s:letters_of_line, s:id == 0 ? '.' : s:Letter(s:id))
        let s:column += len(s:character)
      endfor
      call add(s:shown, join(s:letters_of_line, ''))
    endfor
    call writefile(s:shown, substitute(s:file, 'spray$', 'shown', ''))
    silent bwipeout!
  endfor
  qall!
catch
  call writefile([v:exception, v:throwpoint], '/dev/stderr')
  cquit
endtry
