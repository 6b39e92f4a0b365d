package stability

import (
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Tested is a test with the variant it was done on, and why it covers others.
type Tested struct {
	Name    string // in words
	Storage bool   // a storage test; else a microbiological one
	// Challenge says that it is a challenge test.
	Challenge bool
	// Variant is the id; "" where neither the test nor a batch on record says it.
	Variant string
	Covers  map[string]string // reasons by variant

	known       bool   // which variant it was
	said, batch string // what the test says, and what the record of its batch does
	pos         exact.Pos
	started     bool
	hasBatch    bool
}

// Stands says whether a test stands for a variant: tested on it, or covered by a reason,
// which is returned.
func (t *Tested) Stands(variant string) (tested bool, because string) {
	return t.known && t.Variant == variant, t.Covers[variant]
}

// TestsOf are the tests of a product, storage tests first.
func TestsOf(a *assess.Assessment) []Tested {
	of := map[string]string{}
	for _, b := range a.Workshop.BatchesOf(a.Product.ID) {
		of[b.Code] = b.Variant
	}
	single := len(a.Product.Variants) == 1
	var out []Tested
	add := func(t Tested, said, batch string, covers []workshop.Bridge) {
		t.said, t.batch, t.hasBatch = said, of[batch], batch != ""
		t.Variant, t.Covers = t.said, map[string]string{}
		if t.Variant == "" {
			t.Variant = t.batch
		}
		if single {
			t.Variant = a.Product.Variants[0].ID
		}
		t.known = single || t.Variant != ""
		for _, c := range covers {
			t.Covers[c.Variant] = c.Because
		}
		out = append(out, t)
	}
	for i := range a.Product.Stability {
		x := &a.Product.Stability[i]
		add(Tested{Name: "storage, " + x.Name(), Storage: true, pos: x.Pos, started: !x.Started.IsZero()},
			x.Variant, x.Batch, x.Covers)
	}
	for i := range a.Product.Microbiology {
		x := &a.Product.Microbiology[i]
		add(Tested{Name: microName(x.Test), Challenge: x.Test == "challenge", pos: x.Pos, started: true}, x.Variant,
			x.Batch, x.Covers)
	}
	return out
}

// microName is a kind of microbiological test in words.
func microName(test string) string {
	return map[string]string{"challenge": "challenge test", "count": "total count",
		"organisms": "named organisms", "water-activity": "water activity"}[test]
}

// IsStorage says whether a test is one of storage.
func IsStorage(t *Tested) bool { return t.Storage }

// IsChallenge says whether a test is one of the preservation.
func IsChallenge(t *Tested) bool { return t.Challenge }

// Uncovered are the variants that no test of a kind was done on and no reason covers.
func Uncovered(a *assess.Assessment, fits func(*Tested) bool) (list []string) {
	tests := TestsOf(a)
	any := false
	for _, x := range a.Product.Variants {
		stands := false
		for i := range tests {
			if !fits(&tests[i]) {
				continue
			}
			any = true
			tested, because := tests[i].Stands(x.ID)
			stands = stands || tested || because != ""
		}
		if !stands {
			list = append(list, x.ID)
		}
	}
	if !any {
		return nil // no such test at all: said elsewhere
	}
	return list
}

// variantFindings ask which variant a test was done on, and why it covers the others: a
// test of one variant never counts for another without a reason.
//
// Findings: ask "test-variant" where a test names no variant and no batch on record, or
// another one than its batch; ask "test-bridging" where no reason covers a variant; ask
// "storage-test-open" where a storage test has no start or no batch.
func variantFindings(a *assess.Assessment) (fs []finding.Finding) {
	p := a.Product
	ask := func(code, form string, pos exact.Pos, v finding.Values, key string) {
		fs = append(fs, p.About(finding.NewFinding(finding.Ask, code, pos, v)).As(form).By(finding.TheMaker).
			At(p.File(), key, nil))
	}
	several := len(p.Variants) > 1
	for _, t := range TestsOf(a) {
		key := "microbiology"
		if t.Storage {
			key = "stability"
		}
		v := workshop.With().Name("test", t.Name)
		switch {
		case several && t.Variant == "":
			ask("test-variant", "", t.pos, v, key+".variant")
		case several && t.said != "" && t.batch != "" && t.said != t.batch:
			ask("test-variant", "contradicts", t.pos, v.Name("said", t.said).Name("batch", t.batch), key+".variant")
		}
		var lacks []string
		if !t.started {
			lacks = append(lacks, "start")
		}
		if !t.hasBatch {
			lacks = append(lacks, "batch")
		}
		if t.Storage && len(lacks) > 0 {
			ask("storage-test-open", "", t.pos, v.Name("lacks", words.JoinNames(lacks)), "stability")
		}
	}
	if !several {
		return fs
	}
	for _, kind := range []struct {
		key, name string
		fits      func(*Tested) bool
	}{
		{"stability", "storage test", IsStorage},
		{"microbiology", "challenge test", IsChallenge},
	} {
		if unknown(a, kind.fits) {
			continue // which variant it was is asked first
		}
		if open := Uncovered(a, kind.fits); len(open) > 0 {
			ask("test-bridging", "", p.Pos, workshop.With().Name("test", kind.name).Names("variants", open),
				kind.key+".covers")
		}
	}
	return fs
}

// unknown says whether a test of a kind is on record of which nobody says the variant.
func unknown(a *assess.Assessment, fits func(*Tested) bool) bool {
	for _, t := range TestsOf(a) {
		if fits(&t) && !t.known {
			return true
		}
	}
	return false
}
