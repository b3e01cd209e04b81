--- Starts foliary's language server for journals. Works from Neovim 0.7 on.
local M = {}

--- The program and its arguments, and what is done with each journal once the server has it.
M.defaults = { cmd = { "foliary", "editor" }, on_attach = nil, capabilities = nil }

-- Started servers, by their folder: for Neovim before 0.8, which has no `vim.lsp.start`.
local clients = {}

--- The farm's folder: the nearest above with a git repository, or the file's own.
local function root_of(file)
  local folder = vim.fn.fnamemodify(file, ":p:h")
  local git = vim.fn.finddir(".git", vim.fn.escape(folder, " ,") .. ";")
  if git == "" then
    git = vim.fn.findfile(".git", vim.fn.escape(folder, " ,") .. ";")
  end
  return git ~= "" and vim.fn.fnamemodify(git, ":p:h:h") or folder
end

--- What Neovim binds by itself since 0.8, for older ones.
local function bind(buffer)
  vim.bo[buffer].omnifunc = "v:lua.vim.lsp.omnifunc"
  vim.bo[buffer].tagfunc = "v:lua.vim.lsp.tagfunc"
end

--- Starts the server for a journal, or hands the journal to the one that runs for its folder.
function M.attach(buffer)
  local options = M.options or M.defaults
  local file = vim.api.nvim_buf_get_name(buffer)
  if file == "" or vim.bo[buffer].buftype ~= "" then
    return
  end
  if vim.fn.executable(options.cmd[1]) == 0 then
    if not M.complained then
      M.complained = true
      vim.notify("foliary is not on the path: journals are shown without findings", vim.log.levels.WARN)
    end
    return
  end
  local root = root_of(file)
  local config = {
    name = "foliary",
    cmd = options.cmd,
    root_dir = root,
    workspace_folders = { { uri = vim.uri_from_fname(root), name = root } },
    capabilities = options.capabilities,
    on_attach = function(client, attached)
      bind(attached)
      if options.on_attach then
        options.on_attach(client, attached)
      end
    end,
  }
  if vim.lsp.start then
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  config.on_exit = function()
    clients[root] = nil
  end
  clients[root] = clients[root] or vim.lsp.start_client(config)
  if clients[root] then
    vim.lsp.buf_attach_client(buffer, clients[root])
  end
end

--- Changes what is started: `require("foliary").setup({ cmd = { "/opt/foliary", "editor" } })`.
function M.setup(options)
  M.options = vim.tbl_extend("force", M.defaults, options or {})
end

return M
