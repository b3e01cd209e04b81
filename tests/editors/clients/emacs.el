;;; emacs.el --- A writer at a journal  -*- lexical-binding: t; -*-

;;; Commentary:

;; Does at a journal what a writer does, by eglot, and writes down what came of it.

;;; Code:

(require 'foliary-mode)
(require 'eglot)
(require 'json)

(defvar came nil "What came of it.")
(defvar farm (getenv "FOLIARY_FARM") "The folder of the farm.")

(defun came (what value)
  "Write down that WHAT came as VALUE."
  (push (cons what value) came))

(defun wait (what ready)
  "Wait for WHAT until READY gives something, and return that."
  (let ((until (+ (float-time) 60)) found)
    (while (not (setq found (funcall ready)))
      (when (> (float-time) until) (error "%s did not come" what))
      (accept-process-output nil 0.05))
    found))

(defun at (words)
  "Go to the beginning of WORDS."
  (goto-char (point-min))
  (search-forward words)
  (goto-char (match-beginning 0)))

(defun line ()
  "The line at point."
  (buffer-substring-no-properties (line-beginning-position) (line-end-position)))

(defun findings ()
  "The findings of the buffer, as eglot gave them to flymake."
  (let (all)
    (flymake-start)
    (dolist (one (flymake-diagnostics) all)
      (push `((words . ,(buffer-substring-no-properties (flymake-diagnostic-beg one) (flymake-diagnostic-end one)))
              (code . ,(let ((text (flymake-diagnostic-text one)))
                         (and (string-match "\\[\\([a-z-]+\\)\\]\\|\\b\\(unknown-[a-z]+\\)" text)
                              (or (match-string 1 text) (match-string 2 text)))))
              (message . ,(flymake-diagnostic-text one)))
            all))))

(defun finding-on (words)
  "Whether a finding stands on WORDS."
  (lambda ()
    (let (found)
      (dolist (one (findings) found)
        (when (string= (alist-get 'words one) words) (setq found t))))))

(defun work ()
  "All of it."
  (setq foliary-command (list (getenv "FOLIARY") "editor")
        eglot-sync-connect 60
        eglot-connect-timeout 60
        eglot-send-changes-idle-time 0
        eglot-confirm-server-initiated-edits nil
        make-backup-files nil
        create-lockfiles nil)
  (find-file (expand-file-name "may.spray" farm))
  (came 'mode (symbol-name major-mode))
  (apply #'eglot (eglot--guess-contact))
  (wait "a finding" (finding-on "blorps"))
  (came 'findings (vconcat (findings)))
  (at "blorps")
  (delete-region (point) (line-end-position))
  (insert "lb")
  (eglot--signal-textDocument/didChange)

  (at "creek-pear")
  (came 'hover
        (let ((answer (jsonrpc-request (eglot--current-server-or-lose) :textDocument/hover
                                       (eglot--TextDocumentPositionParams))))
          (substring-no-properties (eglot--hover-info (plist-get answer :contents) (plist-get answer :range)))))
  (let ((buffer (current-buffer)))
    (xref-find-definitions (symbol-name (symbol-at-point)))
    (came 'definition (line))
    (switch-to-buffer buffer)
    (set-buffer buffer))

  (goto-char (point-max))
  (insert "\nspray cr")
  (eglot--signal-textDocument/didChange)
  (let* ((capf (eglot-completion-at-point))
         (found (all-completions "cr" (nth 2 capf))))
    (came 'completion (vconcat (mapcar #'substring-no-properties found))))
  (delete-region (- (point) (length "\nspray cr")) (point))
  (eglot--signal-textDocument/didChange)

  (at "🌳-ash")
  (eglot-rename "tree-ash")
  (save-some-buffers t)
  (eglot-format-buffer)

  (at "measured")
  (delete-char (length "measured"))
  (insert "measurd")
  (eglot--signal-textDocument/didChange)
  (wait "a finding" (finding-on "measurd"))
  (at "measurd")
  (let ((actions (append (eglot-code-actions (point) (+ (point) (length "measurd"))) nil)))
    (came 'offered (vconcat (mapcar (lambda (action) (plist-get action :title)) actions)))
    (let ((action (car actions)))
      (when (and (null (plist-get action :edit)) (eglot--server-capable :codeActionProvider :resolveProvider))
        (setq action (jsonrpc-request (eglot--current-server-or-lose) :codeAction/resolve action)))
      (eglot--apply-workspace-edit (plist-get action :edit))))
  (wait "the edit" (lambda () (save-excursion (goto-char (point-min)) (search-forward "measured" nil t))))
  (save-some-buffers t)
  (eglot-shutdown (eglot--current-server-or-lose)))

(condition-case why
    (work)
  (error (came 'why (format "%S" why))))
(let ((coding-system-for-write 'utf-8-unix))
  (with-temp-file (expand-file-name "came.json" farm)
    (insert (json-encode came))))

;;; emacs.el ends here
