;;; show.el --- Writes what the mode shows  -*- lexical-binding: t; -*-

;;; Commentary:

;; Writes a letter for each character of the journals in a folder, by the face that it is shown in.

;;; Code:

(require 'foliary-mode)

(let ((letters (read (getenv "FOLIARY_LETTERS")))
      (coding-system-for-read 'utf-8-unix)
      (coding-system-for-write 'utf-8-unix))
  (dolist (file (directory-files (getenv "FOLIARY_PLACE") t "\\.spray\\'"))
    (let (shown)
      (with-temp-buffer
        (insert-file-contents file)
        (let ((buffer-file-name file))
          (set-auto-mode))
        (unless (eq major-mode 'foliary-mode)
          (error "The mode of %s is %s" file major-mode))
        (font-lock-ensure)
        (goto-char (point-min))
        (while (not (eobp))
          (unless (bolp) (error "A line begins at the margin"))
          (while (not (eolp))
            (let ((face (get-text-property (point) 'face)))
              (push (or (cdr (assq (if (listp face) (car face) face) letters)) ?.) shown))
            (forward-char))
          (push ?\n shown)
          (unless (eobp) (forward-char))))
      (with-temp-file (concat (file-name-sans-extension file) ".shown")
        (insert (apply #'string (nreverse shown)))))))

;;; show.el ends here
