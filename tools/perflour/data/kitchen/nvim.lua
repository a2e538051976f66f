-- Neovim (0.11 or later, with 'exrc' set) tells what perflour says of our formulas while they are typed.
vim.lsp.config('perflour', {
  cmd = { 'perflour', 'editor' },
  filetypes = { 'yaml' },
  root_markers = { '.git' },
})
vim.lsp.enable('perflour')
vim.lsp.inlay_hint.enable(true)
vim.api.nvim_create_autocmd({ 'BufEnter', 'InsertLeave', 'BufWritePost' }, {
  pattern = '*.yaml',
  callback = function(event)
    if #vim.lsp.get_clients({ bufnr = event.buf, method = 'textDocument/codeLens' }) > 0 then
      vim.lsp.codelens.refresh({ bufnr = event.buf })
    end
  end,
})
