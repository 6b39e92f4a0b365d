module gallipot

go 1.26
