;;; foliary-mode.el --- Foliary journals  -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "28.1"))
;; Version: 0.1.0
;; Keywords: languages

;;; Commentary:

;; A mode for Foliary's spray journals (files that end in .spray): colours, indentation, remarks, and the language
;; server `foliary editor' by way of eglot, which comes with Emacs since 29.

;;; Code:

(require 'foliary-words)

(defgroup foliary nil
  "Foliary journals."
  :group 'languages)

(defcustom foliary-command '("foliary" "editor")
  "The program that answers eglot, with its arguments."
  :type '(repeat string))

(defcustom foliary-indent 4
  "How deep a field stands under its entry."
  :type 'integer
  :safe #'integerp)

(defvar foliary-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?- "_" table)
    (modify-syntax-entry ?_ "_" table)
    (dolist (sign '(?\" ?% ?/ ?* ?+ ?& ?< ?> ?= ?| ?$))
      (modify-syntax-entry sign "." table))
    table)
  "Names hold hyphens and no other sign.
Remarks are told by the mode itself, since a `#' inside a word begins none.")

(defun foliary--note-depth ()
  "How deep the note stands that the line at point goes on.
Nil where it goes on none."
  (save-excursion
    (beginning-of-line)
    (let ((depth (skip-chars-forward " \t"))
          (found nil)
          (case-fold-search t))
      (while (and (not found) (> depth 0) (zerop (forward-line -1)))
        (unless (looking-at "[ \t\r]*$")
          (let ((above (skip-chars-forward " \t")))
            (when (< above depth)
              (setq depth above)
              (when (and (> above 0) (looking-at "note\\(?:[ \t\r]\\|$\\)"))
                (setq found above))))))
      found)))

(defun foliary--colour-match (pattern)
  "If PATTERN is at point, colour its groups and go behind it."
  (when (and (looking-at (car pattern)) (> (match-end 0) (point)))
    (let ((group 0))
      (dolist (face (cdr pattern))
        (setq group (1+ group))
        (when (and face (match-beginning group))
          (put-text-property (match-beginning group) (match-end group) 'face face))))
    (goto-char (match-end 0))))

(defun foliary--colour (places end)
  "Colour from point to END by the patterns at PLACES."
  (skip-chars-forward " \t\r" end)
  (while (< (point) end)
    (let ((left places))
      (while (and left (not (foliary--colour-match (aref foliary-words-patterns (car left)))))
        (setq left (cdr left)))
      (unless left (forward-char)))
    (skip-chars-forward " \t\r" end)))

(defun foliary--colour-line ()
  "Colour the line at point."
  (let ((end (line-end-position))
        (case-fold-search t))
    (cond
     ((looking-at "[ \t\r]*$"))
     ((looking-at "[ \t]+\\S-.*")
      (let ((whole (match-end 0)))
        (if (foliary--note-depth)
            (progn (skip-chars-forward " \t")
                   (put-text-property (point) whole 'face 'font-lock-doc-face))
          (skip-chars-forward " \t")
          (cond
           ((looking-at "#") (put-text-property (point) end 'face 'font-lock-comment-face))
           ((looking-at "\\(note\\)\\(?:[ \t\r]+\\(.*\\)\\|$\\)")
            (put-text-property (match-beginning 1) (match-end 1) 'face 'font-lock-type-face)
            (when (match-beginning 2)
              (put-text-property (match-beginning 2) (match-end 2) 'face 'font-lock-doc-face)))
           (t (foliary--colour-field end))))))
     ((looking-at "#") (put-text-property (point) end 'face 'font-lock-comment-face))
     ((foliary--colour-match foliary-words-day)
      (skip-chars-forward " \t\r" end)
      (when (looking-at "#.*") (put-text-property (point) end 'face 'font-lock-comment-face)))
     ((looking-at (concat "\\(" foliary-words-entry "\\)\\(?:[ \t\r]\\|$\\)"))
      (put-text-property (match-beginning 1) (match-end 1) 'face 'font-lock-keyword-face)
      (goto-char (match-end 1))
      (foliary--colour foliary-words-head end)))))

(defun foliary--colour-field (end)
  "Colour the field whose word is at point, up to END."
  (let ((left foliary-words-fields))
    (while (and left (not (looking-at (concat "\\(" (caar left) "\\)\\(?:[ \t\r]\\|$\\)"))))
      (setq left (cdr left)))
    (when left
      (put-text-property (match-beginning 1) (match-end 1) 'face 'font-lock-type-face)
      (goto-char (match-end 1))
      (foliary--colour (cdar left) end))))

(defun foliary--fontify (start end &optional _loudly)
  "Colour the lines from START to END, and the rest of a note that begins there."
  (save-excursion
    (save-match-data
      (goto-char start)
      (beginning-of-line)
      (setq start (point))
      (goto-char end)
      (unless (bolp) (forward-line 1))
      (setq end (point))
      (with-silent-modifications
        (remove-text-properties start end '(face nil))
        (goto-char start)
        (while (< (point) end)
          (save-excursion (foliary--colour-line))
          (if (eobp) (setq end (point)) (forward-line 1))))
      `(jit-lock-bounds ,start . ,end))))

(defun foliary--indentation ()
  "How deep the line at point belongs, by the line above."
  (save-excursion
    (if (or (bobp) (not (zerop (forward-line -1))) (looking-at "[ \t\r]*$\\|[0-9]"))
        0
      (if (looking-at "[^ \t#]") foliary-indent (current-indentation)))))

(defun foliary-indent-line ()
  "Indent a field under its entry; a second time, move the line to the margin.
The lines of a note stay as they are."
  (interactive)
  (let ((blank (save-excursion (beginning-of-line) (looking-at "[ \t]*$")))
        (inside (> (current-column) (current-indentation)))
        (again (and (eq this-command 'indent-for-tab-command) (eq this-command last-command))))
    (when (or blank (not (foliary--note-depth)))
      (let ((depth (if (and again (> (current-indentation) 0)) 0 (foliary--indentation))))
        (if inside (save-excursion (indent-line-to depth)) (indent-line-to depth))))))

;;;###autoload
(define-derived-mode foliary-mode text-mode "Foliary"
  "A spray journal."
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "\\(?:^\\|[ \t]\\)#+[ \t]*")
  (setq-local comment-end "")
  (setq-local indent-line-function #'foliary-indent-line)
  ;; A line that was left is not moved: journals may be indented otherwise.
  (setq-local electric-indent-inhibit t)
  (setq-local indent-tabs-mode nil)
  (setq-local tab-width foliary-indent)
  (setq-local imenu-generic-expression
              `(("Entries" ,(concat "^\\(" foliary-words-entry "[ \t].*\\)") 1)
                ("Days" "^\\([0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9].*\\)" 1)))
  (setq-local outline-regexp "[^ \t\r\n#]")
  (setq-local font-lock-defaults '(nil t))
  (setq-local font-lock-fontify-region-function #'foliary--fontify)
  (setq-local font-lock-unfontify-region-function
              (lambda (start end) (remove-text-properties start end '(face nil)))))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.spray\\'" . foliary-mode))

(defvar eglot-server-programs)
(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs (cons 'foliary-mode (lambda (&rest _) foliary-command))))

(provide 'foliary-mode)
;;; foliary-mode.el ends here
