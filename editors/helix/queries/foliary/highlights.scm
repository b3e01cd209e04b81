; Written by the tests from the language's own tables: change those.

(entry) @keyword
(field) @type
(name) @variable
(number) @constant.numeric
(unit) @special
(date) @constant
(joiner) @keyword.operator
(title) @markup.heading
(remark) @comment.line
(note) @string
