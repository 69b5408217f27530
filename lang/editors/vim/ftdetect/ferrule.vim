autocmd BufNewFile,BufRead *.ferrule setfiletype ferrule
