-- Does at a journal what a writer does, by Neovim's own client, and writes down what came of it.
local farm, day = vim.env.FOLIARY_FARM .. "/farm.spray", vim.env.FOLIARY_FARM .. "/may.spray"
local out = {}

local function wait(what, ready)
  if not vim.wait(60000, ready, 20) then
    error(what .. " did not come")
  end
end

-- Puts the cursor on words of the buffer.
local function at(words)
  vim.cmd("normal! gg0")
  if vim.fn.search("\\V" .. words, "cW") == 0 then
    error(words .. " is not in the buffer")
  end
end

local function line_of(words)
  at(words)
  return vim.fn.getline(".")
end

-- What the findings of the buffer are about, by their code.
local function findings()
  local found = {}
  for _, one in ipairs(vim.diagnostic.get(0)) do
    local line = vim.fn.getline(one.lnum + 1)
    table.insert(found, { code = one.code, words = line:sub(one.col + 1, one.end_col), message = one.message })
  end
  return found
end

local function has(code)
  return function()
    for _, one in ipairs(findings()) do
      if one.code == code then
        return true
      end
    end
    return false
  end
end

local function write()
  local file = io.open(vim.env.FOLIARY_FARM .. "/came.json", "w")
  file:write(vim.json.encode(out))
  file:close()
end

local function main()
  vim.cmd("edit " .. vim.fn.fnameescape(day))
  out.filetype = vim.bo.filetype
  wait("a finding", has("unknown-unit"))
  out.findings = findings()

  -- Words behind an emoji.
  at("blorps")
  vim.cmd("normal! ciwlb")
  wait("the end of a finding", function()
    return not has("unknown-unit")()
  end)

  at("creek-pear")
  vim.lsp.buf.hover()
  local float
  wait("what hovers", function()
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= "" then
        float = window
      end
    end
    return float ~= nil
  end)
  out.hover = table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(float), 0, -1, false), "\n")
  vim.api.nvim_win_close(float, true)

  at("creek-pear")
  vim.lsp.buf.definition()
  wait("the definition", function()
    return vim.fn.expand("%:t") == "farm.spray"
  end)
  out.definition = vim.fn.getline(".")
  out.definition_column = vim.fn.col(".")
  vim.cmd("silent! write | edit " .. vim.fn.fnameescape(day))

  -- As completion by hand asks: behind the word of a new entry.
  vim.fn.append(vim.fn.line("$"), { "", "spray cr" })
  vim.cmd("normal! G$")
  local position = { line = vim.fn.line("$") - 1, character = 8 }
  local params = { textDocument = vim.lsp.util.make_text_document_params(), position = position }
  local answers = vim.lsp.buf_request_sync(0, "textDocument/completion", params, 30000) or {}
  out.completion = {}
  for _, answer in pairs(answers) do
    for _, item in ipairs(vim.lsp.util.extract_completion_items(answer.result or {})) do
      table.insert(out.completion, item.label)
    end
  end
  vim.cmd("normal! Gdkgg")

  at("🌳-ash")
  vim.lsp.buf.rename("tree-ash")
  wait("the new name", function()
    return vim.fn.search("tree-ash", "nw") > 0
  end)
  vim.cmd("silent wall")
  out.renamed = { line_of("tree-ash"), vim.fn.readfile(farm) }

  at("put  ")
  if vim.lsp.buf.format then
    vim.lsp.buf.format({ timeout_ms = 30000 })
  else
    vim.lsp.buf.formatting_sync(nil, 30000)
  end
  out.formatted = vim.fn.getline(1, "$")

  -- A word that is nearly one of the language's: the edit that the finding offers.
  at("measured")
  vim.cmd("normal! ciwmeasurd")
  wait("a finding", has("unknown-word"))
  vim.ui.select = function(items, _, chosen)
    out.offered = vim.tbl_map(function(item)
      return item[2] and item[2].title or item.action.title
    end, items)
    chosen(items[1], 1)
  end
  at("measurd")
  vim.lsp.buf.code_action()
  wait("the edit", function()
    return vim.fn.search("measured", "nw") > 0
  end)
  out.repaired = line_of("measured")
  vim.cmd("silent wall")
end

local done, why = pcall(main)
if not done then
  out.why = tostring(why)
end
local written, whyever = pcall(write)
if not written then
  io.stderr:write(tostring(whyever) .. "\n")
end
vim.cmd("qall!")
