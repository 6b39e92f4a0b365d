package main

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/png"
	"maps"
	"os"
	"slices"
)

// slim writes a PNG anew with the 256 colours that it has most of, each other one by the
// nearest of them.
func slim(file string) error {
	data, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	from, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return err
	}
	count := map[color.RGBA]int{}
	at := func(x, y int) color.RGBA { return color.RGBAModel.Convert(from.At(x, y)).(color.RGBA) }
	r := from.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			count[at(x, y)]++
		}
	}
	colours := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var few color.Palette
	for _, c := range colours[:min(len(colours), 256)] {
		few = append(few, c)
	}
	to := image.NewPaletted(r, few)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			to.Set(x, y, at(x, y))
		}
	}
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, to); err != nil {
		return err
	}
	return os.WriteFile(file, b.Bytes(), 0o644)
}
