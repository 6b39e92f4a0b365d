// Package documenttest holds documents that tests print: small and large ones, put
// together by hand and by chance, with every kind of block and texts that are hard to
// set. Maker, products and figures in them are invented. It also starts the outside
// programs that tests look at our files with.
package documenttest
