package table

import (
	"errors"
	"io/fs"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// noNames are names that nothing was entered in.
func noNames() *names {
	return &names{Dict: ingredients.NewDictionary(), other: map[*ingredients.Substance][]string{},
		loose: map[string]map[string]bool{}, labels: map[string]string{}, allergenCAS: map[string]bool{}}
}

// entriesOf are some rows of Annex II.
func entriesOf(list ...*annex.Prohibition) *entries {
	return &entries{count: len(list), row: func(i int) *annex.Prohibition { return list[i] },
		limit: func() map[string]*annex.Limit { return nil }}
}

// A label name has the number of its member where every market has the same single one,
// which is no plant material, and else none of its own: any of the members' fits then.
func TestNumbersOfLabelNames(t *testing.T) {
	row := func(market rows.Market, botanical bool, members ...annex.Member) *annex.Allergen {
		return &annex.Allergen{LabelName: "Label", Market: market, Botanical: botanical, Members: members}
	}
	a, b := annex.Member{Name: "A", CAS: "50-00-0", EC: "200-001-8"}, annex.Member{Name: "B", CAS: "56-81-5"}
	for name, c := range map[string]struct {
		list []*annex.Allergen
		want []string
	}{
		"one member":             {[]*annex.Allergen{row(rows.EU, false, a)}, []string{"50-00-0"}},
		"the same in two":        {[]*annex.Allergen{row(rows.EU, false, a), row(rows.GB, false, a)}, []string{"50-00-0"}},
		"two members":            {[]*annex.Allergen{row(rows.EU, false, a, b)}, nil},
		"another in each":        {[]*annex.Allergen{row(rows.EU, false, a), row(rows.GB, false, b)}, nil},
		"another between":        {[]*annex.Allergen{row(rows.EU, false, a), row(rows.GB, false, b), row(rows.NI, false, a)}, nil},
		"two members in one":     {[]*annex.Allergen{row(rows.EU, false, a), row(rows.GB, false, a, b)}, nil},
		"two members first":      {[]*annex.Allergen{row(rows.EU, false, a, b), row(rows.GB, false, a)}, nil},
		"a plant":                {[]*annex.Allergen{row(rows.EU, true, a)}, nil},
		"a member without CAS":   {[]*annex.Allergen{row(rows.EU, false, annex.Member{Name: "A", EC: "200-001-8"})}, nil},
		"of another number once": {[]*annex.Allergen{row(rows.EU, false, a), row(rows.GB, false, annex.Member{Name: "A", CAS: "50-00-0"})}, nil},
	} {
		n := noNames()
		n.addAllergens(c.list)
		label := n.Dict.Lookup("Label")
		require.NotNil(t, label, name)
		assert.Equal(t, c.want, label.CAS, name)
		if c.want != nil {
			assert.Equal(t, []string{"200-001-8"}, label.EC, name)
		}
		assert.Equal(t, "Label", n.labels["label"], name)
		assert.Equal(t, "A", n.labels["a"], name)
		for _, l := range c.list {
			for _, m := range l.Members {
				assert.Equal(t, m.CAS != "", n.loose["label"][m.CAS], name)
				assert.Equal(t, m.CAS != "", n.allergenCAS[m.CAS], name)
			}
		}
	}
}

// A substance of a Standard that is another spelling of a known name is a synonym of it,
// whether that was worked out before or not; a known one stays; one that is new is entered.
func TestNamesOfStandards(t *testing.T) {
	for _, done := range []*ready{nil, {standards: "Exemplum (Acid)\tExemplum Acid\n"}} {
		n := noNames()
		n.Dict.Add("Exemplum Acid", []string{"50-00-0"}, nil)
		n.Dict.Add("Glycerin", nil, nil)
		n.addStandards([]*trade.FragranceStandard{{Substance: "Exemplum (Acid)"}, {Substance: "Glycerin"}, {Substance: "Nusquam"}}, done)
		assert.Equal(t, map[string]string{"Exemplum (Acid)": "Exemplum Acid"}, n.standards)
		assert.Equal(t, "Exemplum Acid", n.Dict.Canonical("Exemplum (Acid)"))
		assert.Same(t, n.Dict.Lookup("Exemplum Acid"), n.Dict.Lookup("Exemplum (Acid)"))
		require.NotNil(t, n.Dict.Lookup("Nusquam"))
		assert.True(t, n.Same("Exemplum Acid")[ingredients.NameKey("Exemplum (Acid)")])
		assert.Equal(t, []string{ingredients.NameKey("Exemplum (Acid)")}, n.other[n.Dict.Lookup("Exemplum Acid")])
		assert.Len(t, n.other, 1)
	}
}

// The names and numbers of a rule: each name its own number where they are paired, each all
// of them loosely where they are not; a colour its trade names.
func TestNamesOfALimit(t *testing.T) {
	n := noNames()
	n.addLimit(&annex.Limit{Annex: "V", Names: []string{"Single"}, CAS: []string{"50-00-0", "56-81-5"}, EC: []string{"200-001-8"}})
	n.addLimit(&annex.Limit{Annex: "V", Names: []string{"One", "Two"}, CAS: []string{"57-55-6", "7732-18-5"},
		EC: []string{"200-338-0", "231-791-2"}, Paired: true})
	n.addLimit(&annex.Limit{Annex: "V", Names: []string{"Left", "Right"}, CAS: []string{"65-85-0", "94-13-3"}})
	n.addLimit(&annex.Limit{Annex: "IV", Names: []string{"CI 77891", "Titanium Dioxide"}, CAS: []string{"13463-67-7"},
		EC: []string{"236-675-5"}, TradeNames: []string{"Pigment White 6"}})
	n.addLimit(&annex.Limit{Annex: "V", Names: []string{"Class"}, Class: annex.ClassNames})
	for name, want := range map[string][2][]string{"Single": {{"50-00-0", "56-81-5"}, {"200-001-8"}},
		"One": {{"57-55-6"}, {"200-338-0"}}, "Two": {{"7732-18-5"}, {"231-791-2"}}, "Left": {}, "Right": {},
		"CI 77891": {{"13463-67-7"}, {"236-675-5"}}} {
		s := n.Dict.Lookup(name)
		require.NotNil(t, s, name)
		assert.Equal(t, want[0], s.CAS, name)
		assert.Equal(t, want[1], s.EC, name)
	}
	assert.Equal(t, "CI 77891", n.Dict.Canonical("Pigment White 6"))
	assert.Nil(t, n.Dict.Lookup("Titanium Dioxide"), "no synonym of the colour")
	assert.Nil(t, n.Dict.Lookup("Class"))
	assert.Equal(t, map[string]map[string]bool{"left": {"65-85-0": true, "94-13-3": true},
		"right": {"65-85-0": true, "94-13-3": true}}, n.loose)
}

// A number fits a name that it is tied to loosely, under the name asked for or under the one
// that it is merged with.
func TestNumbersTiedLoosely(t *testing.T) {
	n := noNames()
	n.Dict.Add("Exemplum", []string{"50-00-0"}, nil, "Synonym")
	n.tie("Exemplum", "56-81-5")
	n.tie("Synonym", "57-55-6")
	tables := &Tables{Names: func() *names { return n }}
	for _, c := range []struct {
		name, cas string
		want      bool
	}{{"Exemplum", "50-00-0", true}, {"Synonym", "50-00-0", true}, {"Exemplum", "56-81-5", true}, {"Synonym", "56-81-5", true},
		{"Synonym", "57-55-6", true}, {"Exemplum", "57-55-6", false}, {"Exemplum", "7732-18-5", false}, {"Nusquam", "7732-18-5", true}} {
		ok, _ := tables.CASFits(c.name, c.cas)
		assert.Equal(t, c.want, ok, "%s %s", c.name, c.cas)
	}
}

// Of several colours that a substance may be, the one whose name comes first is taken.
func TestFirstOfSeveralColours(t *testing.T) {
	n := noNames()
	n.known = map[string]map[string]bool{"e": {"c": true, "b": true, "a": true, "d": true}}
	n.colour = map[string]string{"d": "CI 4", "c": "CI 3", "b": "CI 2"}
	tables := &Tables{Names: func() *names { return n }}
	for range 20 { // a map has no order
		got, ok := tables.ColourIndex("E")
		assert.True(t, ok)
		assert.Equal(t, "CI 2", got)
	}
}

// What is found by a synonym: prohibitions and rules of other law under the other name.
func TestRowsOfASynonym(t *testing.T) {
	n := noNames()
	n.Dict.Add("Exemplum", nil, nil, "Synonym")
	n.other[n.Dict.Lookup("Exemplum")] = []string{"synonym"}
	named, linked := &annex.Prohibition{Names: []string{"Exemplum"}}, &annex.Prohibition{Linked: []string{"Exemplum"}}
	both := &annex.Prohibition{ChemicalNames: []string{"Exemplum"}, Linked: []string{"Exemplum"}, CAS: []string{"50-00-0"},
		EC: []string{"200-001-8"}}
	number := &annex.Prohibition{CAS: []string{"50-00-0"}, MisprintedEC: []string{"200-001-8"}}
	misprint := &annex.Prohibition{MisprintedEC: []string{"200-001-8"}}
	for i, p := range []*annex.Prohibition{named, linked, both, number, misprint} {
		p.Line = i + 2
	}
	tables := &Tables{Names: func() *names { return n }, entries: entriesOf(named, linked, both, number, misprint)}
	tables.prohibitions = sync.OnceValue(tables.buildProhibitions)
	tables.otherLaw = []*annex.OtherRule{{Keys: []string{"exemplum"}}, {Keys: []string{"nusquam"}}, {CAS: []string{"50-00-0"}}}
	tables.otherPlaces = tables.otherPlacesOf()
	for _, asked := range []string{"Exemplum", "Synonym", "SYNONYM"} {
		assert.Equal(t, []prohibitionMatch{{named, byIngredientName}, {linked, ByLinkedName}, {both, byIngredientName}},
			tables.ProhibitionsOf(asked, nil, nil), asked)
		assert.Equal(t, tables.otherLaw[:1], tables.OtherRulesOf(asked, nil), asked)
	}
	assert.Equal(t, []prohibitionMatch{{both, byCASNumber}, {number, byCASNumber}, {misprint, byECNumber}},
		tables.ProhibitionsOf(" ", []string{"50-00-0"}, []string{"200-001-8"}), "a CAS number is surer than an EC number")
	assert.Equal(t, []*annex.OtherRule{tables.otherLaw[0], tables.otherLaw[2]}, tables.OtherRulesOf("Synonym", []string{"50-00-0"}))
	assert.Empty(t, tables.ProhibitionsOf("Nusquam", nil, nil))
}

// The keys of all names of a substance: the one asked for, those in the dictionary, those
// beside it, and those of the same letters in the list of prohibited substances.
func TestNamesThatMeanTheSame(t *testing.T) {
	n := noNames()
	n.Dict.Add("Exemplum", nil, nil, "Synonym")
	n.Dict.AddProhibited("2-Nusquamol")
	n.Dict.AddProhibited("2 Nusqua-mol")
	for range 2 { // the second time from what is remembered
		assert.Equal(t, map[string]bool{"synonym": true, "exemplum": true}, n.Same("Synonym"))
		assert.Equal(t, map[string]bool{"exemplum": true}, n.Same("Exemplum"))
		assert.Equal(t, map[string]bool{"nusquam": true}, n.Same("Nusquam"))
		assert.Equal(t, map[string]bool{"2 nusquamol": true, "2 nusqua mol": true}, n.Same("2-Nusquamol"))
	}
	n.known = nil
	n.other[n.Dict.Lookup("Exemplum")] = []string{"synonym", "another"}
	assert.Equal(t, map[string]bool{"synonym": true, "another": true, "exemplum": true}, n.Same("Exemplum"))

	tables := Builtin()
	assert.True(t, tables.Names().Same("Tocopherol (Vitamin E)")["vitamin e"], "printed beside it, and in no list")
	for _, s := range tables.synonyms {
		assert.True(t, tables.Names().Same(s.INCI)[ingredients.NameKey(s.Synonym)], s.Synonym)
		assert.True(t, tables.Names().Same(s.Synonym)[ingredients.NameKey(s.INCI)], s.Synonym)
	}
	assert.Nil(t, One(""))
	assert.Equal(t, []string{"a"}, One("a"))
}

// Which rules an entry of Annex II makes, and to which it leads: by hand.
func TestRulesOfEntries(t *testing.T) {
	second := &annex.Limit{Row: rows.Row{Key: "second"}, Annex: "II"}
	third := &annex.Limit{Row: rows.Row{Key: "third"}, Annex: "III"}
	both := []rows.Market{rows.EU}
	entry := func(p annex.Prohibition) *annex.Prohibition {
		p.Markets, p.Names, p.File = both, []string{"Exemplum"}, prohibitedTable
		return &p
	}
	e := entriesOf(entry(annex.Prohibition{State: annex.StateLaw}),
		entry(annex.Prohibition{State: annex.StateLaw, Limits: []string{"third", "none"}}),
		entry(annex.Prohibition{State: annex.StateLaw, Limits: []string{"third", "second"}}),
		entry(annex.Prohibition{State: annex.StateEmpty}), entry(annex.Prohibition{State: annex.StateElsewhere, Limits: []string{"third"}}))
	for i := range e.count {
		e.row(i).Line = i + 2
	}
	e.limit = func() map[string]*annex.Limit { return map[string]*annex.Limit{"second": second, "third": third} }
	e.states = []*annex.LawState{{}}
	var made []*annex.Limit
	for i, want := range []bool{true, true, false, false, false} {
		l := e.rule(i)
		require.Equal(t, want, l != nil, i)
		assert.Same(t, l, e.rule(i), "made once")
		if want {
			assert.Equal(t, e.states, l.States)
			assert.Equal(t, i, e.place(l))
			made = append(made, l)
		}
	}
	assert.Equal(t, made, e.everyRule())
	assert.Equal(t, []*annex.Limit{made[0]}, e.leadsTo(0))
	assert.Equal(t, []*annex.Limit{made[1], third}, e.leadsTo(1))
	assert.Equal(t, []*annex.Limit{third, second}, e.leadsTo(2))
	assert.Empty(t, e.leadsTo(3))
	assert.Equal(t, []*annex.Limit{third}, e.leadsTo(4))
	for _, l := range []*annex.Limit{{}, {Row: rows.Row{File: prohibitedTable, Line: 1}}, {Row: rows.Row{File: prohibitedTable, Line: 7}},
		{Row: rows.Row{File: prohibitedTable, Line: 2}}, {Row: rows.Row{File: "limits.csv", Line: 2}}} {
		assert.Equal(t, -1, e.place(l))
	}
}

// What is counted of Annex II, by hand.
func TestCoverageByHand(t *testing.T) {
	both := []rows.Market{rows.EU, rows.GB}
	row := func(entry string, markets []rows.Market, p annex.Prohibition, seen string) *annex.Prohibition {
		p.Entry, p.Markets, p.Seen = entry, markets, seen
		return &p
	}
	law := func(from exact.Date) annex.Prohibition { return annex.Prohibition{State: annex.StateLaw, From: from} }
	newest := row("2", both, law(20260501), "partly")
	tables := &Tables{entries: entriesOf(row("1", both, law(0), "seen"), row("1", both, law(20200101), "memory"), newest,
		row("2", both, law(20260501), "seen"), row("3", both, annex.Prohibition{State: annex.StateEmpty, From: 20270101}, "seen"),
		row("4", both, annex.Prohibition{State: annex.StateDraft, From: 20270101}, "memory"),
		row("5", both, annex.Prohibition{State: annex.StateElsewhere, From: 20270101}, "seen"),
		row("GB-unseen", []rows.Market{rows.GB}, law(0), "seen"), row("6", []rows.Market{rows.GB}, law(20270101), "none"))}
	assert.Equal(t, coverage{Entries: 2, Empty: 1, Drafts: 1, Unverified: 3, Newest: 20260501, NewestRow: newest},
		tables.ProhibitedCoverage(rows.EU))
	gb := tables.ProhibitedCoverage(rows.GB)
	assert.Equal(t, [6]int{3, 1, 1, 1, 4, 20270101}, [6]int{gb.Entries, gb.Empty, gb.Unnumbered, gb.Drafts, gb.Unverified, int(gb.Newest)})
}

// The marks of the rules in limits.csv are those of the entries of Annex II that name them;
// whatever was worked out before says the same.
func TestMarksOfRules(t *testing.T) {
	tables := Builtin()
	marked := map[string][2]bool{}
	for _, p := range tables.Prohibitions() {
		if p.State == annex.StateEmpty || p.State == annex.StateElsewhere {
			continue
		}
		for _, key := range p.Limits {
			m := marked[key]
			marked[key] = [2]bool{m[0] || p.SharedNumber, m[1] || p.Salts}
		}
	}
	count := [2]int{}
	for _, l := range tables.Limits {
		want := [2]bool{}
		if l.Annex == "II" {
			want = marked[l.Key]
		}
		assert.Equal(t, want, [2]bool{l.SharedNumber, l.Salts}, l.Key)
		for i, is := range want {
			if is {
				count[i]++
			}
		}
	}
	assert.Positive(t, count[0])
	assert.Positive(t, count[1])

	of := func(list ...*annex.Prohibition) [2]bool {
		l := &annex.Limit{Row: rows.Row{Key: "rule"}, Annex: "II"}
		other := &annex.Limit{Row: rows.Row{Key: "other"}, Annex: "III"}
		hand := &Tables{Limits: []*annex.Limit{l, other}, entries: entriesOf(list...)}
		hand.entries.limit = hand.limitsByKey
		hand.markLimits()
		assert.False(t, other.SharedNumber || other.Salts, "of another annex")
		return [2]bool{l.SharedNumber, l.Salts}
	}
	keys := []string{"rule", "other", "none"}
	plain := &annex.Prohibition{State: annex.StateLaw, Limits: keys}
	shared := &annex.Prohibition{State: annex.StateLaw, Limits: keys, SharedNumber: true}
	salts := &annex.Prohibition{State: annex.StateLaw, Limits: keys, Salts: true}
	assert.Equal(t, [2]bool{}, of(plain))
	assert.Equal(t, [2]bool{true, false}, of(shared, plain))
	assert.Equal(t, [2]bool{false, true}, of(salts, plain))
	assert.Equal(t, [2]bool{true, true}, of(shared, salts))
	assert.Equal(t, [2]bool{}, of(&annex.Prohibition{State: annex.StateEmpty, Limits: keys, Salts: true},
		&annex.Prohibition{State: annex.StateElsewhere, Limits: keys, SharedNumber: true}))
}

// Every name and number leads to the rule it stands in.
func TestEveryNameLeadsToItsRule(t *testing.T) {
	tables := Builtin()
	x := tables.ByLimit()
	met := 0
	leads := func(l *annex.Limit, find func(string) []*annex.Limit, keys ...string) {
		for _, key := range keys {
			met++
			n := 0
			for _, found := range find(key) {
				if found == l {
					n++
				}
			}
			assert.Equal(t, 1, n, "%s of %s", key, l.Key)
		}
	}
	keysOf := func(names []string) (keys []string) {
		for _, n := range names {
			keys = append(keys, ingredients.NameKey(n))
		}
		return keys
	}
	for _, l := range tables.Limits {
		leads(l, x.Named, keysOf(l.Names)...)
		leads(l, x.CAS, l.CAS...)
		leads(l, x.EC, l.EC...)
	}
	for i := 0; i < tables.entries.count; i += 7 {
		p := tables.entries.row(i)
		for _, l := range tables.entries.leadsTo(i) {
			leads(l, x.Named, slices.Concat(keysOf(p.Names), keysOf(p.ChemicalNames))...)
			leads(l, x.Linked, keysOf(p.Linked)...)
			leads(l, x.CAS, p.CAS...)
			leads(l, x.EC, slices.Concat(p.EC, p.MisprintedEC)...)
		}
	}
	assert.Greater(t, met, 4000)

	c := newChains(0)
	a, b := &annex.Limit{}, &annex.Limit{}
	for _, l := range []*annex.Limit{a, b, a, b, b} {
		c.enterAll([]string{"k", "k"}, l)
	}
	c.enter("other", b)
	assert.Equal(t, []*annex.Limit{a, b}, c.of("k"), "each once")
	assert.Len(t, c.links, 3)
	assert.Nil(t, c.of("none"))
}

// A maker's own rows stand behind those of limits.csv and before those of Annex II, and the
// tables that they are added to stay as they are.
func TestOwnRowsLeaveTheLawAsItIs(t *testing.T) {
	tables := Builtin()
	of := func(file, key, name string) *annex.Limit {
		return &annex.Limit{Row: rows.Row{File: file, Key: key, Seen: "memory", Source: "letter of 2026-05-01"}, Own: true,
			Table: "sum of " + file, Names: []string{name}}
	}
	a, b := of("limits/a.csv", "a", "Water"), of("limits/b.csv", "b", "Nusquam")
	a.CAS, a.EC = []string{"999-99-9"}, []string{"999-999-9"}
	before := toldOf(tables.Version())
	u := tables.WithLimits([]*annex.Limit{a, b, of("limits/a.csv", "c", "Nusquam")})
	info := map[string]TableInfo{}
	for _, i := range u.Version() {
		info[i.Name] = i
	}
	require.Len(t, u.Version(), len(before)+2)
	assert.Equal(t, [3]int{2, 2, 0}, [3]int{info["limits/a.csv"].Rows, info["limits/a.csv"].Memory, info["limits/a.csv"].Seen})
	assert.Equal(t, 1, info["limits/b.csv"].Rows)
	assert.Equal(t, "sum of limits/b.csv", info["limits/b.csv"].SHA256)
	assert.Equal(t, "2026-05-01", info["limits/a.csv"].Newest)
	assert.Equal(t, before, toldOf(tables.Version()))
	assert.Nil(t, tables.rows["limits/a.csv"])
	assert.Len(t, u.rows["limits/a.csv"], 2)
	assert.Len(t, u.Limits, len(tables.Limits)+3)
	assert.Same(t, tables, tables.WithLimits(nil))

	// more rows of the first table, twice: neither sees those of the other
	one, two := tables.WithLimits([]*annex.Limit{of("limits.csv", "x", "X")}), tables.WithLimits([]*annex.Limit{of("limits.csv", "y", "Y")})
	assert.Len(t, one.Version(), len(before))
	assert.Equal(t, "x", one.rows["limits.csv"][len(tables.rows["limits.csv"])].Key)
	assert.Equal(t, "y", two.rows["limits.csv"][len(tables.rows["limits.csv"])].Key)
	last := func(u *Tables) *rows.Row {
		i := slices.IndexFunc(u.info, func(i TableInfo) bool { return i.Name == "limits.csv" })
		return u.info[i].rows[len(u.info[i].rows)-1]
	}
	assert.Equal(t, "x", last(one).Key)
	assert.Equal(t, "y", last(two).Key)

	x := u.ByLimit()
	at := func(l *annex.Limit) int {
		place, known := x.Place(l)
		require.True(t, known, l.Key)
		return place
	}
	assert.Equal(t, 0, at(tables.Limits[0]))
	assert.Equal(t, len(tables.Limits)-1, at(tables.Limits[len(tables.Limits)-1]))
	assert.Equal(t, len(tables.Limits), at(a))
	assert.Equal(t, len(tables.Limits)+1, at(b))
	assert.Greater(t, at(tables.entries.everyRule()[0]), at(b))
	assert.Less(t, at(tables.entries.everyRule()[0]), at(tables.entries.everyRule()[1]))
	none, known := x.Place(&annex.Limit{})
	assert.False(t, known)
	assert.Zero(t, none)
	assert.Contains(t, x.Named(ingredients.NameKey("Aqua")), a, "under the name that its own stands for")
	assert.Contains(t, x.Named("water"), a)
	assert.Equal(t, []*annex.Limit{b}, x.Named("nusquam")[:1])
	assert.Equal(t, []*annex.Limit{a}, x.CAS("999-99-9"))
	assert.Equal(t, []*annex.Limit{a}, x.EC("999-999-9"))
	assert.NotContains(t, tables.ByLimit().Named("water"), a)
	further := 0
	for _, name := range []string{"Aqua (Water)", "Parfum (Fragrance)", "Glycerin (Nusquam)", "Tocopherol (Vitamin E)"} {
		own := of("limits/d.csv", "d", name)
		for _, also := range tables.Dictionary().Resolve(name, "", "").First().Also {
			further++
			assert.Contains(t, tables.WithLimits([]*annex.Limit{own}).ByLimit().Named(ingredients.NameKey(also)), own, name)
		}
	}
	assert.Positive(t, further, "names printed beside others")
}

// Words are put into their lists by rank, then by key; what a list looks at is what its words want.
func TestWordsAreRanked(t *testing.T) {
	word := func(list, key string, rank int, match rows.WordMatch) *rows.Word {
		return &rows.Word{Row: rows.Row{Key: key}, List: list, Rank: rank, Match: match}
	}
	l := rows.WordLists
	for match, want := range map[rows.WordMatch][2]bool{rows.MatchPart: {}, rows.MatchWord: {true, false},
		rows.MatchFirst: {true, false}, rows.MatchPhrase: {false, true}, rows.MatchWhole: {false, true}, rows.MatchLast: {}} {
		tables := &Tables{WordRows: []*rows.Word{word(l[0], "c", 2, match), word(l[0], "a", 2, rows.MatchPart),
			word(l[0], "b", 1, rows.MatchPart), word(l[1], "d", 9, rows.MatchPart)}}
		tables.IndexWords()
		list := tables.Words(l[0])
		assert.Equal(t, want, [2]bool{list.Tokens, list.Phrases}, match)
		var keys []string
		for _, w := range list.Words {
			keys = append(keys, w.Key)
		}
		assert.Equal(t, []string{"b", "a", "c"}, keys)
		assert.Len(t, tables.Words(l[1]).Words, 1)
		assert.Empty(t, tables.Words(l[2]).Words)
	}
	assert.Panics(t, func() { Builtin().Words("no such list") })
}

// The newest day that a source bears, with the first source that bears it; the number of a
// record is no year.
func TestNewestSource(t *testing.T) {
	var i TableInfo
	i.newest([]*rows.Row{{Source: "Reg 2019/831"}, {Source: "a, read 2026-05-01 and 2024"}, {Source: "b, 2026-05-01"},
		{Source: "record ID 2049"}, {Source: ""}})
	assert.Equal(t, "2026-05-01", i.Newest)
	assert.Equal(t, "a, read 2026-05-01 and 2024", i.NewestSource)
}

// Look-ups of single tables hold their rows.
func TestLookupsOfSingleTables(t *testing.T) {
	tables := Builtin()
	assert.Len(t, tables.ByMass, len(tables.Masses))
	assert.Equal(t, "Tetrasodium EDTA", tables.ByMass["tetrasodium edta"].Key)
	p := tables.CramerPlaces()
	numbered := 0
	for i, c := range tables.Cramer {
		assert.Contains(t, p.Of(map[string]bool{ingredients.NameKey(c.INCI): true}), i)
		if c.CAS != "" {
			numbered++
			assert.Contains(t, p.Numbered([]string{c.CAS}), i)
		}
	}
	assert.Positive(t, numbered)
	assert.Empty(t, p.Numbered([]string{""}))
	l := tables.Lookups()
	for i, x := range tables.Tox {
		assert.Contains(t, l.Tox.Of(map[string]bool{ingredients.NameKey(x.Substance): true}), i)
		if x.CAS != "" {
			assert.Contains(t, l.Tox.Numbered([]string{x.CAS}), i)
		}
		for _, n := range x.INCI {
			assert.Contains(t, l.Tox.Of(map[string]bool{ingredients.NameKey(n): true}), i)
		}
	}
	assert.Empty(t, l.Tox.Numbered([]string{""}))
	for i, s := range tables.Standards {
		assert.Contains(t, l.Standards.Of(map[string]bool{ingredients.NameKey(s.Substance): true}), i)
		for _, n := range s.INCI {
			assert.Contains(t, l.Standards.Of(map[string]bool{ingredients.NameKey(n): true}), i)
		}
		for _, c := range s.CAS {
			assert.Contains(t, l.Standards.Numbered([]string{c}), i)
		}
	}
	for _, u := range tables.ToxUse {
		assert.Contains(t, l.ToxUse[ingredients.NameKey(u.Substance)], u)
		assert.Equal(t, ingredients.NameKey(u.INCI), l.ToxUseName[u])
	}
	places := map[string][]int{}
	for _, i := range []int{1, 1, 2, 2, 5} {
		enter(places, "k", i)
	}
	assert.Equal(t, map[string][]int{"k": {1, 2, 5}}, places, "each once")
	assert.Equal(t, []int{1, 3, 7}, placesOf{byName: map[string][]int{"a": {3, 7}, "b": {1, 7}, "c": {9}}}.
		Of(map[string]bool{"a": true, "b": true}))
	assert.Nil(t, tables.Dictionary().Lookup(impurity), "stands for no substance")
	assert.True(t, tables.IsSubstrate("Aluminium Hydroxide"), "under another spelling")
	met := 0
	for _, q := range tables.Prohibitions()[:200] {
		for _, name := range namesInLaw(q) {
			for _, other := range tables.Dictionary().Prohibited(name) {
				met++
				assert.True(t, tables.Names().Same(name)[ingredients.NameKey(other)], "%s: %s", name, other)
			}
		}
	}
	assert.Positive(t, met)
}

// What is ready is opened whole; a table that is read later says when it cannot be.
func TestOpening(t *testing.T) {
	r := openReady(readyText)
	for head, part := range r.parts() {
		assert.NotEmpty(t, *part, head)
	}
	assert.NotEmpty(t, r.entries)
	small := openReady("== canonical\na\tb\n\n== entries\nxxxx\n\n== other\ny\n")
	got, ok := small.canonical.Find("a")
	assert.True(t, ok)
	assert.Equal(t, "b", got)

	var later *rows.Later[*annex.Prohibition]
	for _, files := range []fstest.MapFS{{}, {prohibitedTable: {Data: []byte("no,such,columns\n1,2,3\n")}}} {
		l := ofLater(files, prohibitedTable, annex.ReadProhibitedLater, &later)()
		require.Error(t, l.err)
		assert.Equal(t, len(files) == 0, errors.Is(l.err, fs.ErrNotExist))
		assert.Nil(t, l.rows)
		assert.Equal(t, prohibitedTable, l.info.Name)
		assert.Nil(t, l.info.late)
	}
	l := of(fstest.MapFS{}, "facts.csv", trade.ReadFacts, new([]*trade.Fact))()
	require.ErrorIs(t, l.err, fs.ErrNotExist)
	assert.Nil(t, l.rows)
	i := slices.IndexFunc(Builtin().info, func(i TableInfo) bool { return i.Name == prohibitedTable })
	assert.Equal(t, Builtin().ready != nil, Builtin().info[i].late != nil, "its rows are then read when they are asked for")
}

// What cannot stand in a line of what is ready is said.
func TestReadyRefuses(t *testing.T) {
	hand := &Tables{entries: entriesOf()}
	l := &annex.Limit{}
	hand.Limits = []*annex.Limit{l}
	hand.entryPlants = func() entryPlants { return entryPlants{limits: []EntryPlant{{l, "Exemplum|Leaf Oil", nil}}} }
	_, err := hand.readyPlants()
	require.ErrorContains(t, err, "holds what parts names")
	hand.entryPlants = func() entryPlants { return entryPlants{limits: []EntryPlant{{l, "A Leaf", nil}, {l, "B Leaf", nil}}} }
	lines, err := hand.readyPlants()
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"00000": "A Leaf|B Leaf"}, lines)

	const most = 64 * 64
	bare := &annex.Prohibition{}
	hand.entries = &entries{count: most, row: func(int) *annex.Prohibition { return bare }}
	_, err = hand.entryWords()
	require.NoError(t, err)
	hand.entries.count = most + 1
	_, err = hand.entryWords()
	require.ErrorContains(t, err, "4097 rows are more than 4096")

	hand.entries = entriesOf()
	n := noNames()
	n.Dict.Add("Exemplum", nil, nil, "Synonym")
	hand.Names = func() *names { return n }
	hand.versions = func() []TableInfo { return []TableInfo{{Name: "t.csv", Meaning: "m"}} }
	hand.info = []TableInfo{{Name: "t.csv", text: "four"}}
	hand.Materials = []*trade.Material{{Constituents: []trade.Constituent{{INCI: "Exemplum"}, {INCI: "Synonym"}}}}
	n.standards = map[string]string{"a": "b"}
	text, err := Ready(hand)
	require.NoError(t, err)
	for _, want := range []string{"== canonical\nExemplum\t\nSynonym\tExemplum\n== folded\n", "\n== meaning\nt.csv\tm\n== of\nt.csv\t4\n",
		"\n== standards\na\tb\n== entries\n"} {
		assert.Contains(t, text, want)
	}
	for key, value := range map[string]string{"a\tb": "c", "a": "b\nc"} {
		n.standards = map[string]string{key: value}
		_, err = Ready(hand)
		require.ErrorContains(t, err, "cannot stand in a line")
	}
	n.standards = nil
	hand.entryPlants = func() entryPlants { return entryPlants{limits: []EntryPlant{{l, "Exemplum|Leaf Oil", nil}}} }
	_, err = Ready(hand)
	require.ErrorContains(t, err, "holds what parts names")
	hand.entryPlants = func() entryPlants { return entryPlants{} }
	hand.entries = &entries{count: most + 1, row: func(int) *annex.Prohibition { return bare }}
	_, err = Ready(hand)
	require.ErrorContains(t, err, "more than")
}
