-- Runs in Neovim, for .ci/editors. It says "neovim: all held" at its end.
local repo, out = os.getenv("REPO"), os.getenv("OUT")

local function say(...) io.stdout:write(string.format(...) .. "\n") end

local function check(ok, what, ...)
  if not ok then
    say("neovim: " .. what, ...)
    vim.cmd("cquit 1")
  end
end

local function write(name, text)
  local f = assert(io.open(name, "w"))
  f:write(text)
  f:close()
end

-- The settings of the README, for a Neovim that may be older than 0.8.
local started = {}
vim.lsp.start = vim.lsp.start or function(config)
  started[config.root_dir] = started[config.root_dir] or vim.lsp.start_client(config)
  vim.lsp.buf_attach_client(0, started[config.root_dir])
end
local readme = io.open(repo .. "/lang/editors/README.md"):read("*a")
local settings = readme:match("```lua\n(.-)```"):gsub("/path/to", repo)
check(select(2, settings:gsub("\n", "")) == 3, "the README has other than three lines of settings")
loadstring(settings)()
vim.cmd("filetype on")
vim.cmd("syntax on")
vim.o.hidden = true

-- ask sends a request about the cursor and returns its answer.
local function ask(method, more)
  local params = vim.lsp.util.make_position_params(0, "utf-16")
  for k, v in pairs(more or {}) do params[k] = v end
  local answers, err = vim.lsp.buf_request_sync(0, method, params, 10000)
  check(answers, "%s: %s", method, tostring(err))
  for _, a in pairs(answers) do
    check(not a.error, "%s: %s", method, vim.inspect(a.error))
    return a.result
  end
end

local function client()
  local _, c = next(vim.lsp.buf_get_clients(0))
  return c
end

local function open(name)
  vim.cmd("edit " .. name)
  check(vim.wait(10000, function() return client() and client().initialized ~= false end), "no client for %s", name)
end

local function text() return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, true), "\n") end

local function all()
  -- A mistake is shown, explained and mended.
  write(out .. "/shop/house.ferrule", 'group woods = driver, fairway\n')
  write(out .. "/shop/main.ferrule", 'use "house.ferrule"\nrule  light "½”, 🏌"\n  for every woods, hybird\n  require mass at most 11 oz\n')
  open(out .. "/shop/main.ferrule")
  check(vim.bo.filetype == "ferrule", "the file type is " .. vim.bo.filetype)
  local function mistakes(n) return vim.wait(10000, function() return #vim.diagnostic.get(0) == n end) end
  check(mistakes(1), "mistakes: %s", vim.inspect(vim.diagnostic.get(0)))
  local d = vim.diagnostic.get(0)[1]
  check(d.code == nil or d.code == "unknown-name", "mistake: %s", vim.inspect(d))
  check(d.lnum == 2 and d.col == 19 and d.end_col == 25, "the mistake is at %d:%d", d.lnum, d.col)
  vim.api.nvim_win_set_cursor(0, { 3, 20 })
  check(ask("textDocument/hover").contents.value:find("Did you mean: `hybrid`", 1, true), "hover over a mistake")
  vim.api.nvim_win_set_cursor(0, { 4, 23 })
  check(ask("textDocument/hover").contents.value:find("311.8 g", 1, true), "hover over a quantity")
  vim.api.nvim_win_set_cursor(0, { 3, 20 })
  local params = vim.lsp.util.make_range_params(0, "utf-16")
  params.context = { diagnostics = {}, only = { "quickfix" } }
  local mended = false
  for _, answer in pairs(vim.lsp.buf_request_sync(0, "textDocument/codeAction", params, 10000)) do
    for _, action in ipairs(answer.result or {}) do
      if action.isPreferred and not mended then
        vim.lsp.util.apply_workspace_edit(action.edit, "utf-16")
        mended = true
      end
    end
  end
  check(mended and text():find("for every woods, hybrid\n", 1, true), "mended: %s", text())
  check(mistakes(0), "mistakes are left: %s", vim.inspect(vim.diagnostic.get(0)))

  -- Completion, where there is no more than a beginning of the line.
  vim.api.nvim_buf_set_lines(0, 4, 4, true, { "  unless mass < " })
  vim.api.nvim_win_set_cursor(0, { 5, 16 })
  vim.wait(100)
  vim.cmd("startinsert!")
  local found = false
  for _, it in ipairs(ask("textDocument/completion", { position = { line = 4, character = 16 } })) do found = found or it.label == "mass" end
  check(found, "mass is not offered")
  vim.cmd("stopinsert")
  vim.api.nvim_buf_set_lines(0, 4, 5, true, {})

  -- A rename across two files, from the book that uses to the one that declares.
  vim.api.nvim_win_set_cursor(0, { 3, 14 })
  vim.lsp.util.apply_workspace_edit(ask("textDocument/rename", { newName = "timbers" }), "utf-16")
  check(text():find("for every timbers, hybrid", 1, true), "renamed: %s", text())
  check(mistakes(0), "mistakes after the rename: %s", vim.inspect(vim.diagnostic.get(0)))
  local main = vim.api.nvim_get_current_buf()
  open(out .. "/shop/house.ferrule")
  check(text():find("group timbers = driver, fairway", 1, true), "renamed: %s", text())
  vim.api.nvim_set_current_buf(main)

  -- Formatting.
  vim.lsp.util.apply_text_edits(ask("textDocument/formatting", { options = { tabSize = 2, insertSpaces = true } }), 0, "utf-16")
  check(text():find('\n\nrule light "½”, 🏌"\n  for      every timbers, hybrid\n', 1, true), "formatted: %s", text())

  -- Each token of each shipped book: what it is to the server, to Vim's syntax file, and for the grammar.
  local legend = client().server_capabilities.semanticTokensProvider.legend.tokenTypes
  local groups = { string = { ferruleString = 1 }, comment = { ferruleComment = 1 }, number = { ferruleNumber = 1 },
    operator = { ferruleOperator = 1 }, keyword = { ferruleStatement = 1, ferruleKeyword = 1, ferruleConstant = 1, ferruleFunction = 1, ferruleOperator = 1 },
    type = { ferruleType = 1, ferruleTypeName = 1, ferruleName = 1, ferruleIdentifier = 1 }, ["function"] = { ferruleFunctionName = 1, ferruleName = 1, ferruleIdentifier = 1 },
    variable = { ferruleName = 1, ferruleIdentifier = 1, ferruleType = 1 } }
  local scopes = { string = "string.quoted.double.ferrule", comment = "comment.line.number-sign.ferrule",
    number = "constant.numeric.ferrule", operator = "keyword.operator.ferrule",
    keyword = "source.ferrule - variable.other.ferrule string.quoted.double.ferrule",
    type = "source.ferrule - keyword.control.ferrule keyword.other.ferrule",
    ["function"] = "source.ferrule - keyword.control.ferrule keyword.other.ferrule support.type.ferrule",
    variable = "source.ferrule - keyword.control.ferrule keyword.other.ferrule" }
  local tokens = 0
  for _, name in ipairs(vim.fn.glob(out .. "/grammar/*.ferrule", false, true)) do
    open(name)
    vim.cmd("syntax sync fromstart")
    local lines, asserts = vim.api.nvim_buf_get_lines(0, 0, -1, true), {}
    local line, char = 0, 0
    local data = ask("textDocument/semanticTokens/full").data
    for i = 1, #data, 5 do
      if data[i] > 0 then char = 0 end
      line, char = line + data[i], char + data[i + 1]
      local length, what = data[i + 2], legend[data[i + 3] + 1]
      local from = vim.str_byteindex(lines[line + 1], char, true)
      local written = lines[line + 1]:sub(from + 1, vim.str_byteindex(lines[line + 1], char + length, true))
      if not written:match("^[(),:]$") then
        local group = vim.fn.synIDattr(vim.fn.synID(line + 1, from + 1, 0), "name")
        check(groups[what][group], "%s line %d: %s is a %s to the server, and %s to Vim", name, line + 1, written, what, group)
        asserts[line] = asserts[line] or {}
        local mark = char < 2 and "<" .. ("~"):rep(char) .. ("-"):rep(length) or (" "):rep(char - 2) .. ("^"):rep(length)
        table.insert(asserts[line], "#:" .. mark .. " " .. scopes[what])
        tokens = tokens + 1
      end
    end
    local tested = { '#: SYNTAX TEST "source.ferrule"' }
    for n, l in ipairs(lines) do
      table.insert(tested, l)
      for _, a in ipairs(asserts[n - 1] or {}) do table.insert(tested, a) end
    end
    write(name .. ".tested", table.concat(tested, "\n") .. "\n")
  end
  check(tokens > 2000, "only %d tokens were looked at", tokens)
  say("neovim: all held (%d tokens)", tokens)
end

local ok, err = xpcall(all, debug.traceback)
check(ok, "%s", tostring(err))
vim.cmd("qall!")
