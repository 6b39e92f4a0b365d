// Package workshoptest holds invented workshops for the tests of other rooms.
package workshoptest

import "testing/fstest"

// File is the smallest workshop.yaml.
const File = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

// Folder is a workshop in memory: the files given, beside [File] where they hold no
// workshop.yaml.
func Folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(File)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

// FullFiles is a workshop in which every item that a maker, a supplier or a
// laboratory can supply is there, for a cream with water, a scent and a colour.
func FullFiles() map[string]string {
	docs := func(kinds ...string) string {
		s := "documents:\n"
		for _, k := range kinds {
			s += "  - {kind: " + k + ", file: evidence/" + k + ".txt, dated: 2026-02-03}\n"
		}
		return s
	}
	files := map[string]string{
		"workshop.yaml": `maker: {name: M, address: [A], country: GB}
responsible_person:
  GB: {name: R, address: [A], country: GB}
  EU: {name: R, address: [A], country: IE}
markets: [GB, EU]
evidence_years: 3
`,
		"ingredients/water.yaml": "id: water\nname: Water\nsupplier: {name: M}\nfunctions: [solvent]\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" +
			docs("specification", "microbiology"),
		"ingredients/blend.yaml": "id: blend\nname: Blend\nsupplier: {name: S, code: S1}\nfunctions: [preservative, skin conditioning]\ncomposition: {complete: true, constituents: [{inci: Phenoxyethanol, cas: 122-99-6, pct: 90}, {inci: Ethylhexylglycerin, pct: 10}]}\n" +
			docs("sds", "composition", "coa", "animal-testing"),
		"ingredients/scent.yaml": "id: scent\nname: Scent\nsupplier: {name: F, code: F1}\nfunctions: [perfuming]\nlabel_as: parfum\nallergens: {list: 2023-1545, dated: 2026-02-03, declared: [{name: Linalool, cas: 78-70-6, pct: 2}]}\n" +
			"fragrance_limits: {amendment: 51, dated: 2026-02-03, max_pct: {\"5A\": 2}}\n" + docs("sds",
			"allergens", "certificate", "specification", "animal-testing"),
		"ingredients/pearl.yaml": "id: pearl\nname: Pearl\nsupplier: {name: C, code: C1}\nfunctions: [colouring, opacifying]\ncomposition: {complete: true, constituents: [{inci: Mica, pct: 60}, {inci: CI 77891, pct: 40}]}\n" +
			docs("sds", "composition", "purity", "animal-testing"),
		"products/cream.yaml": `id: cream
name: Cream
revision: 1
product_type: body-lotion
markets: [GB, EU]
intended_for: adults
body_area: [body]
net_content: {g: 100}
packaging: [{part: jar, material: PET}]
durability: {pao_months: 6}
made_in: GB
claims: [leaves skin soft]
directions: Rub in.
warnings: [Keep out of the eyes.]
formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: blend, amount: 1}, {ingredient: scent, amount: 0.5}, {ingredient: pearl, amount: 0.1}]}]}
process: [{phase: A, do: Stir}]
specification: {ph: "5-6", appearance: white, odour: faint}
stability:
  - {test: room, temp_c: 20, weeks: 26, pack: jar, verdict: pass, readings: [{week: 0, ph: 5.5}, {week: 26, ph: 5.5}]}
microbiology:
  - {test: challenge, method: ISO 11930, verdict: A, dated: 2026-03-31, file: evidence/challenge.txt}
  - {test: count, verdict: pass, dated: 2026-03-31, file: evidence/counts.txt}
  - {test: organisms, verdict: pass, dated: 2026-03-31, file: evidence/counts.txt}
notifications: [{market: GB, number: "1", dated: 2026-04-01}, {market: EU, number: "2", dated: 2026-04-01}]
complaints: []
` + docs("gmp", "animal-testing", "claim", "packaging", "compatibility", "label", "photo", "offer"),
	}
	for _, name := range []string{"sds", "composition", "coa", "animal-testing", "allergens", "certificate",
		"specification", "purity", "microbiology", "challenge", "counts",
		"gmp", "claim", "packaging", "compatibility", "label", "photo", "offer", "report", "assessor-diploma"} {
		files["evidence/"+name+".txt"] = name
	}
	return files
}
