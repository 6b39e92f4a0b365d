package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/names"
)

// matched is a matcher over the tables with further rows.
func matched(more ...*annex.Limit) *matcher {
	for i, row := range more {
		row.File, row.Key = "more.csv", "more-"+string(rune('a'+i))
		if row.Markets == nil {
			row.Markets = []rows.Market{rows.EU, rows.GB}
		}
	}
	return matcherOf(formula.NewSession(table.Builtin().WithLimits(more)))
}

// by lists the further rows that name a substance, each with how and with what doubt.
func (m *matcher) by(s *formula.Substance) map[string]string {
	out := map[string]string{}
	for _, f := range m.search(s) {
		if f.Row.File == "more.csv" {
			out[formula.EntryOf(f.Row)] = f.by + ": " + f.doubt
		}
	}
	return out
}

// How rows name a substance, by hand: the name first, a number beside it; a number of an
// entry that prohibits is in doubt where the name belongs to one that permits.
func TestHowRowsNameASubstance(t *testing.T) {
	permits := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Acid"}, CAS: []string{"999999-99-4"}}
	bans := &annex.Limit{Annex: "II", Entry: "901", Names: []string{"Exemplum Prohibitum"}, CAS: []string{"999999-99-4"}}
	m := matched(permits, bans)
	sure, doubt := "name: ", "cas: by name it belongs to entry III/900, which permits it"
	assert.Equal(t, map[string]string{"III/900": sure, "II/901": doubt}, m.by(&formula.Substance{INCI: "Exemplum Acid",
		CAS: "999999-99-4"}))
	assert.Equal(t, map[string]string{"II/901": sure, "III/900": "cas: "},
		m.by(&formula.Substance{INCI: "Exemplum Prohibitum",
			CAS: "999999-99-4"}))
	assert.Equal(t, map[string]string{"III/900": "cas: ", "II/901": "cas: "}, m.by(&formula.Substance{INCI: "own name",
		CAS: "999999-99-4"}), "no name says that it is permitted")
	assert.Equal(t, map[string]string{"III/900": sure}, m.by(&formula.Substance{INCI: "Exemplum Acid"}))
	assert.Empty(t, m.by(&formula.Substance{INCI: "own name"}))
	// by a further name, by the name without its bracket, and as a name that it may stand for
	assert.Equal(t, map[string]string{"III/900": sure}, m.by(&formula.Substance{INCI: "own name",
		OtherNames: formula.OtherNames{Also: []string{"Exemplum Acid"}}}))
	for _, n := range []string{"Exemplum Acid (of trees)", "(E)-Exemplum Acid", "Exemplum Acid(25)"} {
		assert.Equal(t, map[string]string{"III/900": sure}, m.by(&formula.Substance{INCI: n}), n)
	}
	assert.Equal(t, map[string]string{"III/900": "name: its name leaves open whether it is Exemplum Acid"},
		m.by(&formula.Substance{INCI: "own name", OtherNames: formula.OtherNames{Maybe: []string{"Exemplum Acid"}}}))
	assert.Equal(t, map[string]string{"III/900": sure}, m.by(&formula.Substance{INCI: "Exemplum Acid",
		OtherNames: formula.OtherNames{Maybe: []string{"Exemplum Acid"}}}), "it is named for sure already")

	// of two entries that permit the first is told; a row that prohibits permits nothing
	second := &annex.Limit{Annex: "III", Entry: "899", Names: []string{"Exemplum Acid"}}
	m = matched(&annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Acid"}}, second,
		&annex.Limit{Annex: "II", Entry: "901", Names: []string{"Exemplum Prohibitum"}, CAS: []string{"999999-99-4"}})
	assert.Equal(t, "cas: by name it belongs to entry III/899, which permits it",
		m.by(&formula.Substance{INCI: "Exemplum Acid",
			CAS: "999999-99-4"})["II/901"])
	own := &annex.Limit{Annex: "own", Entry: "x", Own: true, Names: []string{"Exemplum Acid"}}
	m = matched(own, &annex.Limit{Annex: "II", Entry: "901", Names: []string{"Exemplum Prohibitum"},
		CAS: []string{"999999-99-4"}})
	assert.Equal(t, "cas: ", m.by(&formula.Substance{INCI: "Exemplum Acid", CAS: "999999-99-4"})["II/901"],
		"the maker's own rule permits nothing")

	// a number that stands for other parts too leaves its rows in doubt; the name does not
	shared := &annex.Limit{Annex: "II", Entry: "902", Names: []string{"Exemplum Wood"}, CAS: []string{"999999-99-4"},
		SharedNumber: true}
	m = matched(shared)
	assert.Equal(t, map[string]string{"II/902": "cas: " + sharedNumber}, m.by(&formula.Substance{INCI: "own name",
		CAS: "999999-99-4"}))
	assert.Equal(t, map[string]string{"II/902": sure}, m.by(&formula.Substance{INCI: "Exemplum Wood",
		CAS: "999999-99-4"}))

	// an element that is named by its entry for the compounds
	element := &annex.Limit{Annex: "II", Entry: "903", Names: []string{"Exemplium compounds"},
		Elements:    []string{"exemplium"},
		ElementSelf: true}
	m = matched(element)
	assert.Equal(t, map[string]string{"II/903": sure}, m.by(&formula.Substance{INCI: "Exemplium"}))
	assert.Empty(t, m.by(&formula.Substance{INCI: "Exemplium Chloride"}))
	// a name left out by the entry
	exempt := &annex.Limit{Annex: "II", Entry: "904", Names: []string{"Exemplum Oil"}, CAS: []string{"999999-99-4"},
		ExemptNames: []string{"Exemplum Absolute"}}
	m = matched(exempt)
	assert.Empty(t, m.by(&formula.Substance{INCI: "Exemplum Absolute", CAS: "999999-99-4"}))
	assert.NotEmpty(t, m.by(&formula.Substance{INCI: "Exemplum Oil", CAS: "999999-99-4"}))
}

// Entries that name what a substance is a salt of, by hand: one that is for the salts holds,
// another is asked about, unless an entry of the same annex, for good and for all its markets,
// names the salt itself.
func TestSaltsOfAnEntry(t *testing.T) {
	acid := func() *annex.Limit {
		return &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Salicylic Acid"}}
	}
	salt := &formula.Substance{INCI: "Magnesium Salicylate"}
	const asked = "name: " + saltOfNamed
	assert.Equal(t, asked, matched(acid()).by(salt)["III/900"])
	own := acid()
	own.Own = true
	assert.Empty(t, matched(own).by(salt), "the maker's own rule is about the names it has")
	salts := acid()
	salts.Salts = true
	assert.Equal(t, "name: ", matched(salts).by(salt)["III/900"])
	// found by a number besides: in doubt it says no more than the name, and for sure it decides
	numbered := &formula.Substance{INCI: "Magnesium Salicylate", CAS: "999999-99-4"}
	salts = acid()
	salts.Salts, salts.CAS, salts.SharedNumber, salts.Annex = true, []string{"999999-99-4"}, true, "II"
	assert.Equal(t, "name: ", matched(salts).by(numbered)["II/900"])
	sure := acid()
	sure.CAS = []string{"999999-99-4"}
	assert.Equal(t, "cas: ", matched(sure).by(numbered)["III/900"])
	itself := func(change func(*annex.Limit)) string {
		row := &annex.Limit{Annex: "III", Entry: "901", Names: []string{"Magnesium Salicylate"}}
		if change != nil {
			change(row)
		}
		return matched(acid(), row).by(salt)["III/900"]
	}
	assert.Empty(t, itself(nil), "the entry for the salt speaks for it")
	for name, change := range map[string]func(*annex.Limit){
		"of another annex": func(l *annex.Limit) { l.Annex = "VI" },
		"of one market":    func(l *annex.Limit) { l.Markets = []rows.Market{rows.GB} },
		"a draft":          func(l *annex.Limit) { l.Instrument = annex.InstrumentDraft },
		"to come":          func(l *annex.Limit) { l.From = 20270101 },
		"that ends":        func(l *annex.Limit) { l.Until = 20270101 },
		"to be replaced":   func(l *annex.Limit) { l.Replaced = 20270101 },
		"of the maker":     func(l *annex.Limit) { l.Own = true },
	} {
		assert.Equal(t, asked, itself(change), name)
	}
}

// One row found in several ways is held by the surest, and by one without a doubt before one
// with: a number that the dictionary ties to the name, a number on the sheet, a number that
// stands for more. 56-81-5 is glycerin's, 111-46-6 diethylene glycol's.
func TestSurestWayToARow(t *testing.T) {
	of := func(s *formula.Substance, rows ...*annex.Limit) string { return matched(rows...).by(s)["II/900"] }
	ban := func(cas string, shared bool) *annex.Limit {
		return &annex.Limit{Annex: "II", Entry: "900", Names: []string{"Exemplum Prohibitum"}, CAS: []string{cas},
			SharedNumber: shared}
	}
	permits := func(cas string) *annex.Limit {
		return &annex.Limit{Annex: "III", Entry: "901", Names: []string{"Exemplum Acid"}, CAS: []string{cas}}
	}
	glycerin := func(cas string) *formula.Substance { return &formula.Substance{INCI: "Glycerin", CAS: cas} }
	assert.Equal(t, "cas: ", of(glycerin(""), ban("56-81-5", false)), "the number of its name")
	assert.Equal(t, "cas: "+sharedNumber, of(glycerin(""), ban("56-81-5", true)))
	assert.Equal(t, "cas: ", of(glycerin("999999-99-4"), ban("999999-99-4", false), permits("56-81-5")),
		"what permits it is found by a number, and no name says so")
	contradicts := "cas: CAS 111-46-6 stands for "
	assert.Contains(t, of(glycerin("111-46-6"), ban("111-46-6", true)), contradicts)
	third := permits("111-46-6")
	third.SharedNumber = true
	assert.Contains(t, matched(third).by(glycerin("111-46-6"))["III/901"], contradicts)
	shared := permits("999999-99-4")
	shared.SharedNumber = true
	assert.Equal(t, "cas: ", matched(shared).by(&formula.Substance{INCI: "own name", CAS: "999999-99-4"})["III/901"],
		"a limit holds whatever part it is")

	// two numbers of one row: that which is sure counts, whichever comes first
	two := ban("56-81-5", false)
	two.CAS = append(two.CAS, "111-46-6")
	assert.Equal(t, "cas: ", of(glycerin("111-46-6"), two))
	// a name for sure counts before one that it may stand for
	named := &annex.Limit{Annex: "II", Entry: "900", Names: []string{"Exemplum Acid", "Exemplum Prohibitum"}}
	maybe := formula.OtherNames{Maybe: []string{"Exemplum Prohibitum"}}
	assert.Equal(t, "name: ", of(&formula.Substance{INCI: "Exemplum Acid", OtherNames: maybe}, named))
	assert.Equal(t, "name: its name leaves open whether it is Exemplum Prohibitum",
		of(&formula.Substance{INCI: "own name", OtherNames: maybe}, named))
	maybe.Maybe = append(maybe.Maybe, "Exemplum Acid")
	assert.Equal(t, "name: its name leaves open whether it is Exemplum Prohibitum",
		of(&formula.Substance{INCI: "own name", OtherNames: maybe}, named), "the first of what it may be")
	// a member of a class by its element is asked about as that
	class := &annex.Limit{Annex: "II", Entry: "900", Names: []string{"Exemplium Salt"}, Elements: []string{"exemplium"}}
	maybe.Maybe = []string{"Exemplium Salt"}
	assert.Empty(t, of(&formula.Substance{INCI: "Exemplium Stearate", OtherNames: maybe}, class))
	assert.NotEmpty(t, of(&formula.Substance{INCI: "own name", OtherNames: maybe}, class))
	other := &annex.Limit{Annex: "II", Entry: "902", Names: []string{"Another"}, Elements: []string{"exemplium"}}
	assert.NotEmpty(t, of(&formula.Substance{INCI: "Exemplium Stearate", OtherNames: maybe},
		&annex.Limit{Annex: "II", Entry: "900", Names: []string{"Exemplium Salt"}}, other), "of another row")
	// all of the name in brackets is no name
	assert.Empty(t, matched(ban("999999-99-4", false)).by(&formula.Substance{INCI: "(own name)"}))

	// a number that several parts of a plant share stays that, where the name says nothing
	m := matched(permits("999999-99-4"))
	for _, f := range m.search(&formula.Substance{INCI: "a perfume base", CAS: "84603-73-6"}) { // bay, II/359
		assert.Equal(t, sharedNumber, f.doubt, f.Row.Key)
	}
}

// How well a material fits an entry of several plants: as well as the best of its names for
// that plant; where none is for it, as under a number that two plants share, no name is sure,
// nor where one says nothing of a plant. A number that several parts share brings no entry of
// another part in; one that an entry has to itself contradicts the name.
func TestFitOfAPlant(t *testing.T) {
	m := matched()
	const root, seed = "Inula Helenium Root Oil", "Laurus Nobilis Seed Oil"
	row := &annex.Limit{Annex: "II", Names: []string{root, seed}}
	for _, n := range row.Names {
		m.ofPlant[n] = formula.Plant(m.session, n)
	}
	fit := func(name string) names.Fit { return m.fitOf(name, formula.Plant(m.session, name), row) }
	assert.Equal(t, names.Fits, fit(root))
	assert.Equal(t, names.Fits, fit(seed))
	assert.Equal(t, names.Unfits, fit("Laurus Nobilis Leaf Extract"))
	assert.Equal(t, names.Open, fit("Laurus Nobilis"))
	assert.Equal(t, names.Open, fit("Rosa Damascena Seed Oil"))
	assert.Equal(t, names.Unfits, fit("Rosa Damascena Flower Extract"))
	row.Names = append(row.Names, "derivatives of the plant")
	assert.Equal(t, names.Open, fit("Rosa Damascena Flower Extract"))
	assert.Equal(t, names.Unfits, fit("Laurus Nobilis Leaf Extract"))

	row.Names = row.Names[:2]
	other := func(name, by, doubt string, shared bool) (bool, string) {
		row.SharedNumber = shared
		f := &rowMatch{Row: row, by: by, doubt: doubt}
		return m.otherPart(&formula.Substance{INCI: name}, f), f.doubt
	}
	for _, c := range []struct {
		name, by, doubt string
		shared, out     bool
		then            string
	}{
		{"Laurus Nobilis Leaf Extract", "name", "", true, false, ""},
		{"Laurus Nobilis Leaf Extract", "cas", "", true, true, ""},
		{"Laurus Nobilis Leaf Extract", "cas", "", false, false, otherByName},
		{"Laurus Nobilis Leaf Extract", "ec", sharedNumber, false, false, sharedNumber},
		{"Laurus Nobilis", "cas", "", true, false, partByNumber},
		{"Laurus Nobilis", "cas", sharedNumber, true, false, sharedNumber},
		{"Laurus Nobilis", "cas", "", false, false, ""},
		{seed, "cas", "", true, false, ""},
	} {
		out, then := other(c.name, c.by, c.doubt, c.shared)
		assert.Equal(t, []any{c.out, c.then}, []any{out, then}, "%s by %s, shared %v", c.name, c.by, c.shared)
	}
	// by its species the oil of the seeds is found however it is printed, open where the name says
	// no part, and for sure where another name of it does
	bay := func(inci string, also ...string) (out []string) {
		for _, f := range m.search(&formula.Substance{INCI: inci, OtherNames: formula.OtherNames{Also: also}}) {
			out = append(out, formula.EntryOf(f.Row)+" "+f.by+" "+f.doubt)
		}
		return out
	}
	assert.Equal(t, []string{"II/359 plant "}, bay("Laurus Nobilis Seed Essential Oil"))
	assert.Equal(t, []string{"II/359 plant " + partOpen}, bay("Laurus Nobilis"))
	assert.Equal(t, []string{"II/359 plant "}, bay("Laurus Nobilis", "Laurus Nobilis Seed Essential Oil"))
	assert.Equal(t, []string{"II/359 plant "}, bay("Laurus Nobilis Seed Essential Oil", "Laurus Nobilis"))
	for _, f := range m.search(&formula.Substance{INCI: "Laurus Nobilis Leaf Extract", CAS: "84603-73-6"}) {
		assert.NotEqual(t, "II/359", formula.EntryOf(f.Row), "the oil of the seeds")
	}
}

// One substance under two names: of a figure, the doubt of the first name stays, though the
// second is sure; of a ban, that which is sure to be banned speaks.
func TestDoubtOfTwoNames(t *testing.T) {
	of := func(max string) LimitCheck {
		row := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Two", "Exemplum One"}, MaxPct: pct(t, max)}
		one := formulatest.Coded(formulatest.Pure(t, "solvent", "Exemplum One"), "999999-99-4")
		two := formulatest.Coded(formulatest.Pure(t, "solvent", "Exemplum Two"), "999999-99-4")
		run := ruled(t, []*annex.Limit{row}, one, "0.1", two, "0.1")
		for _, u := range run.Uses {
			if u.Name() == "Exemplum One" {
				u.match(row).doubt = severalEntries
			}
		}
		checks := further(run.Checks(day))
		require.Len(t, checks, 1)
		require.Equal(t, []string{"Exemplum One", "Exemplum Two"}, checks[0].Substances)
		return checks[0]
	}
	assert.Equal(t, severalEntries, of("1").Shape.Doubt)
	assert.Equal(t, "kept either way: at most 1 % even if it applies; "+severalEntries, of("1").Reason)
	assert.Equal(t, LimitKept, of("1").Verdict)
	ban := of("0")
	assert.Empty(t, ban.Shape.Doubt)
	assert.Equal(t, LimitExceeded, ban.Verdict)
}

// Entries for every preparation of a species, and of a whole genus.
func TestEntriesOfAGenus(t *testing.T) {
	m := matched(&annex.Limit{Annex: "II", Entry: "900", Names: []string{"Exemplum and its preparations"},
		Plants: []string{"exemplum"}}, &annex.Limit{Annex: "II", Entry: "901",
		Names: []string{"Exemplum borealis and its preparations"}, Plants: []string{"exemplum borealis"}})
	assert.Equal(t, map[string]string{"II/900": "plant: ", "II/901": "plant: "},
		m.by(&formula.Substance{INCI: "Exemplum Borealis Root Extract"}))
	assert.Equal(t, map[string]string{"II/900": "plant: "}, m.by(&formula.Substance{INCI: "Exemplum Australe Leaf Oil"}))
	assert.Empty(t, m.by(&formula.Substance{INCI: "Borealis Exemplum Leaf Oil"}))
}

// The Standards of the table, each with its rows from the first on and once for each entry
// whose substances it counts; an official name has those that hold its number (estragole is
// Allylanisole, 140-67-0), but for a plant, of which a number says no part.
func TestStandardsOfTheTable(t *testing.T) {
	m := matched()
	seen, ofEntry := map[string]int{}, map[string]int{}
	for i, row := range law.Standards(m.tables) {
		s := m.Standards[row.Substance]
		if seen[row.Substance] == 0 {
			assert.Equal(t, i, s.Place, row.Substance)
		}
		assert.Same(t, row, s.Rows[seen[row.Substance]])
		seen[row.Substance]++
		for _, e := range row.Entries {
			ofEntry[e+" "+row.Substance]++
		}
	}
	n := 0
	for e, list := range m.Counted {
		for _, name := range list {
			assert.Positive(t, ofEntry[e+" "+name])
			n++
		}
	}
	assert.Equal(t, len(ofEntry), n, "each once")
	assert.Equal(t, []string{"Estragole"}, m.StandardsListed("Allylanisole"))
	assert.Empty(t, m.StandardsListed("Citrus Aurantium Bergamia Extract"))
}

// A name that the official inventory ties to an entry is in doubt: what it is made of decides.
// Cyclomethicone and II/1388, octamethylcyclotetrasiloxane; the inventory of names.
func TestWhichListTiesANameToAClass(t *testing.T) {
	doubts := map[string]string{}
	for _, f := range matched().search(&formula.Substance{INCI: "Cyclomethicone"}) {
		doubts[formula.EntryOf(f.Row)] = f.doubt
	}
	assert.Equal(t, linkedToClass, doubts["II/1388"])
}
