package testdata

import (
	"bytes"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"regexp"
	"strings"
	"testing/fstest"
)

// Size says how large a generated workshop is.
type Size struct {
	Sheets   int // at least 20
	Products int
	Variants int // of each product

	SmallLabels  bool // of 60 × 30 mm, onto which little fits
	Constituents int  // declared of each scent beside those of the demo's sheet
	Lines        int  // of each formula beside those of its kind
	Unknown      int  // names that nobody knows, on a sheet of each product
}

// Large makes a workshop of the given size, for measuring: sheets after those of
// the demo under names of their own, each with its papers, and products of four
// kinds, each variant with a scent and a colour of its own, some of several
// portions and some with an addition. The same size gives the same bytes.
//
// Everything in it is invented, as in the demo.
func Large(size Size) fstest.MapFS {
	g := &generator{size: size, rnd: rand.New(rand.NewPCG(20, 26)), files: fstest.MapFS{},
		byRole: map[string][]string{}}
	maker, err := fs.ReadFile(Demo, "demo/workshop.yaml")
	if err != nil {
		panic(err) // embedded
	}
	g.files["workshop.yaml"] = &fstest.MapFile{Data: maker}
	for i := range max(size.Sheets, len(generatedRoles)) {
		g.sheet(i)
	}
	for i := range size.Products {
		g.product(i, size.Variants)
	}
	return g.files
}

// generatedRoles are the demo's sheets that a workshop of 20 sheets has; larger
// ones have them over again. What it holds most of are scents, oils and colours.
var generatedRoles = []struct{ role, sheet string }{
	{"water", "water"}, {"humectant", "glycerin"}, {"gum", "xanthan"}, {"chelator", "phytate-50"},
	{"betaine", "betaine-30"}, {"flakes", "isethionate-flakes"}, {"glucoside", "glucoside-50"},
	{"acid", "citric-acid"}, {"keeper", "keeper-pe"}, {"second keeper", "keeper-bs"},
	{"scent", "fo-heather"}, {"scent", "fo-gorse"}, {"scent", "fo-tideline"}, {"scent", "juniper-oil"},
	{"colour", "mica-violet"}, {"colour", "mica-bronze"},
	{"oil", "rapeseed-oil"}, {"butter", "shea-butter"}, {"emulsifier", "ewax"}, {"botanical", "oat-liquid"},
}

type generator struct {
	size   Size
	rnd    *rand.Rand
	files  fstest.MapFS
	byRole map[string][]string
}

var paperPath = regexp.MustCompile(`evidence/[a-z0-9-]+\.txt`)

// sheet adds the i-th sheet with its papers.
func (g *generator) sheet(i int) {
	r := generatedRoles[i%len(generatedRoles)]
	id := fmt.Sprintf("%s-%04d", r.sheet, i/len(generatedRoles))
	g.byRole[r.role] = append(g.byRole[r.role], id)
	text, err := fs.ReadFile(Demo, path.Join("demo/ingredients", r.sheet+".yaml"))
	if err != nil {
		panic(err) // embedded
	}
	text = bytes.Replace(text, []byte("\nid: "+r.sheet+"\n"), []byte("\nid: "+id+"\n"), 1)
	text = paperPath.ReplaceAllFunc(text, func(old []byte) []byte {
		name := fmt.Sprintf("evidence/%s-%s", id, path.Base(string(old)))
		g.files[name] = &fstest.MapFile{Data: []byte("invented paper " + name + "\n")}
		return []byte(name)
	})
	if r.role == "scent" {
		text = g.declare(text)
	}
	g.files["ingredients/"+id+".yaml"] = &fstest.MapFile{Data: text}
}

// declare adds constituents to the allergens that a scent declares. Their names are
// invented and no table has them.
func (g *generator) declare(text []byte) []byte {
	var b strings.Builder
	for i := range g.size.Constituents {
		fmt.Fprintf(&b, "    - {name: Exemplum Odoratum %s, pct: 0.0%d}\n", letters(i), 1+i%9)
	}
	return bytes.Replace(text, []byte("\n  declared:\n"), []byte("\n  declared:\n"+b.String()), 1)
}

// letters writes a number as a word of three letters or more.
func letters(n int) string {
	word := []byte("Bar")
	for ; n > 0; n /= 20 {
		word = append(word, "bcdfghjklmnprstvwxyz"[n%20], "aeiou"[n%5])
	}
	return string(word)
}

// further are lines of a formula beside those of its kind, each a raw material of its own.
func (g *generator) further(product, n int) (ids []string) {
	for i := range n {
		id := fmt.Sprintf("further-%04d", i)
		ids = append(ids, id)
		g.files["ingredients/"+id+".yaml"] = &fstest.MapFile{Data: fmt.Appendf(nil,
			"id: %s\nname: Further %d (invented)\n"+
				"supplier: {name: Wrack (invented)}\nfunctions: [skin conditioning]\ncomposition: {complete: true, "+
				"constituents: [{inci: Exemplum %s Extract, pct: 5}, {inci: Glycerin, cas: 56-81-5, pct: 95}]}\n",
			id, i, letters(i))}
	}
	if g.size.Unknown > 0 {
		id := fmt.Sprintf("unknown-%04d", product)
		var b strings.Builder
		fmt.Fprintf(&b, "id: %s\nname: Unknown %d (invented)\nsupplier: {name: Wrack (invented)}\nfunctions: [skin conditioning]\n"+
			"composition:\n  complete: false\n  constituents:\n", id, product)
		for i := range g.size.Unknown {
			fmt.Fprintf(&b, "    - {inci: Sodium %s Glutamat%s, pct: %s}\n",
				letters(product*g.size.Unknown+i), letters(i), hundredths(9000/g.size.Unknown))
		}
		g.files["ingredients/"+id+".yaml"] = &fstest.MapFile{Data: []byte(b.String())}
		ids = append(ids, id)
	}
	return ids
}

// any picks a sheet of a role.
func (g *generator) any(role string) string {
	ids := g.byRole[role]
	return ids[g.rnd.IntN(len(ids))]
}

// generatedKinds are the products that take turns. Amounts are in hundredths of a
// per cent, lowest and highest.
var generatedKinds = []struct {
	id, kind, area string
	phases         [][]generatedLine
}{
	{"wash", "shower-gel", "body", [][]generatedLine{
		{{"water", 0, 0}, {"humectant", 200, 600}, {"gum", 30, 90}, {"chelator", 5, 20}},
		{{"betaine", 1500, 2500}, {"flakes", 300, 700}, {"glucoside", 1000, 2000}},
		{{"acid", 20, 80}, {"keeper", 60, 95}, {"second keeper", 50, 90}},
	}},
	{"cream", "body-lotion", "body", [][]generatedLine{
		{{"water", 0, 0}, {"humectant", 200, 600}, {"gum", 20, 50}, {"chelator", 5, 20}},
		{{"oil", 600, 1500}, {"oil", 200, 600}, {"butter", 300, 900}, {"emulsifier", 400, 800}},
		{{"botanical", 100, 400}, {"keeper", 60, 95}, {"acid", 2, 9}},
	}},
	{"soap", "liquid-hand-soap", "hand", [][]generatedLine{
		{{"water", 0, 0}, {"humectant", 100, 400}, {"chelator", 5, 20}},
		{{"betaine", 1000, 2000}, {"glucoside", 800, 1600}, {"botanical", 50, 200}},
		{{"acid", 20, 60}, {"keeper", 60, 95}},
	}},
	{"lotion", "hand-cream", "hand", [][]generatedLine{
		{{"water", 0, 0}, {"humectant", 300, 800}, {"gum", 20, 50}},
		{{"oil", 500, 1200}, {"butter", 500, 900}, {"butter", 100, 300}, {"emulsifier", 400, 700}},
		{{"botanical", 100, 300}, {"keeper", 60, 95}, {"second keeper", 30, 60}},
	}},
}

type generatedLine struct {
	role      string
	low, high int
}

// product adds the i-th product.
func (g *generator) product(i, variants int) {
	kind := generatedKinds[i%len(generatedKinds)]
	id := fmt.Sprintf("%s-%04d", kind.id, i)
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say("# Invented product, generated for measuring.")
	say("id: %s\nname: Generated %s %d (invented)\nrevision: 1\nproduct_type: %s", id, kind.id, i, kind.kind)
	say("markets: [GB, EU]\nintended_for: adults\nbody_area: [%s]\nprofessional: false", kind.area)
	say("net_content: {ml: %d}\npackaging:\n  - {part: bottle, material: PET, ml: 260}\ndurability: {pao_months: 6}\nmade_in: GB", 50+50*g.rnd.IntN(5))
	width, height := 120, 60
	if g.size.SmallLabels {
		width, height = 60, 30
	}
	say("label: {shape: rectangle, width_mm: %d, height_mm: %d}\nfunction: care of the skin\nclaims:\n  - leaves the skin soft\ndirections: Use a little.", width, height)
	say("formula:\n  basis: percent\n  phases:")
	for j, lines := range kind.phases {
		say("    - id: %c\n      name: Phase %d\n      lines:", 'A'+j, j+1)
		used := map[string]bool{}
		for _, l := range lines {
			sheet := g.any(l.role)
			if used[sheet] {
				continue
			}
			used[sheet] = true
			if l.high == 0 {
				say("        - {ingredient: %s, amount: q.s.}", sheet)
				continue
			}
			say("        - {ingredient: %s, amount: %s}", sheet, hundredths(l.low+g.rnd.IntN(l.high-l.low)))
		}
	}
	if ids := g.further(i, g.size.Lines); len(ids) > 0 {
		say("    - id: Y\n      name: Further\n      lines:")
		for _, id := range ids {
			say("        - {ingredient: %s, amount: 0.05}", id)
		}
	}
	say("    - id: Z\n      name: Scent and colour\n      lines:\n        - {slot: scent, amount: %s}\n        - {slot: colour, amount: 0.2}", hundredths(30+g.rnd.IntN(60)))
	say("variants:")
	for v := range variants {
		say("  - id: v%03d\n    name: Generated %s %d, number %d", v, kind.id, i, v)
		switch {
		case v%7 == 6:
			say("    portions:")
			say("      - {name: one, share: 60, fill: {scent: %s, colour: %s}}", g.any("scent"), g.any("colour"))
			say("      - {name: two, share: 40, fill: {scent: %s, colour: %s}}", g.any("scent"), g.any("colour"))
		case v%5 == 4:
			say("    fill: {scent: [{ingredient: %s, share: 70}, {ingredient: %s, share: 30}]}", g.byRole["scent"][0],
				g.byRole["scent"][1])
			say("    then_add:\n      - {ingredient: %s, parts_per_100: %d}", g.any("oil"), 1+g.rnd.IntN(5))
		default:
			say("    fill: {scent: %s, colour: %s}", g.any("scent"), g.any("colour"))
		}
	}
	say("process:\n  - {phase: A, do: Stir, temp_c: 40, minutes: 20, rpm: 600}\n  - {phase: B, do: Melt and join, temp_c: 75, minutes: 30, rpm: 150}\n  - {phase: C, do: Stir in one by one, temp_c: 35, minutes: 10, rpm: 120}\n  - {phase: Z, do: Fold in, temp_c: 30, minutes: 10, rpm: 80}")
	say(`specification: {ph: "4.8-5.6", appearance: soft, odour: of the scent named, viscosity: pours}`)
	say("stability:\n  - test: heat\n    temp_c: 40\n    weeks: 12\n    started: 2026-02-23\n    verdict: pass\n    readings:\n      - {week: 0, ph: 5.0}\n      - {week: 4, ph: 5.0}\n      - {week: 8, ph: 5.1}\n      - {week: 12, ph: 5.1}")
	say("microbiology: []\ncomplaints: []")
	g.files["products/"+id+".yaml"] = &fstest.MapFile{Data: []byte(b.String())}
}

func hundredths(n int) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }
