package law

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// world is a situation in which every fact is known.
type world struct {
	rinseOff                                                       bool
	areas, codes, forms, claims                                    []string
	functions                                                      []string
	from, to                                                       int // ages in months
	inhalable, professional, nano, massive, natural, refiningKnown bool
	butadiene, formaldehyde                                        float64
}

// parentsOf is the list of product codes with their parents, written down from
// the vocabulary of limits.csv a second time.
var parentsOf = map[string]string{
	"toothpaste": "oral", "mouthwash": "oral", "mouth-spray": "oral", "oral-leave-on": "oral", "tooth-whitening": "oral",
	"lipstick": "lip makeup", "antidandruff-shampoo": "shampoo", "hair-dye-oxidative": "hair-dye",
	"hair-dye-nonoxidative": "hair-dye",
	"face-cream":            "face-product", "face-powder": "face-product", "face-makeup": "face-product makeup",
	"blemish-concealer": "face-product",
	"powder-foundation": "face-product", "hand-cream": "hand-product", "body-lotion-spray": "body-lotion",
	"eye-makeup": "makeup", "eye-shadow": "eye-makeup makeup", "eyeliner": "eye-makeup makeup",
	"mascara":         "eye-makeup makeup",
	"deodorant-spray": "deodorant", "deodorant-non-spray": "deodorant", "roll-on-deodorant": "deodorant",
	"fragrance-hydroalcoholic": "fragrance", "fine-fragrance": "fragrance-hydroalcoholic fragrance",
	"eau-de-toilette": "fragrance-hydroalcoholic fragrance", "fragrance-cream": "fragrance",
	"nail-varnish": "nail", "nail-hardener": "nail", "nail-cuticle-solvent": "nail", "nail-cleaning": "nail",
	"artificial-nail": "nail",
	"talcum-powder":   "powder", "eyelash-tint": "eyelash-product", "eyelash-waving": "eyelash-product",
}

// slowHolds judges a condition in a world, word by word as the vocabulary of
// limits.csv words it.
func slowHolds(t *testing.T, condition string, w world) bool {
	for _, clause := range strings.Split(condition, " & ") {
		list, except := strings.CutPrefix(clause, "except=")
		key := ""
		if k, v, ok := strings.Cut(list, "="); ok && !except && !strings.Contains(list, ">") {
			key, list = k+":", v
		}
		met := false
		for _, item := range strings.Split(list, "|") {
			met = met || slowWord(t, key+item, w)
		}
		if met == except {
			return false
		}
	}
	return true
}

func slowWord(t *testing.T, word string, w world) bool {
	has := func(list []string, s string) bool { return slices.Contains(list, s) }
	key, value, _ := strings.Cut(word, ":")
	switch key {
	case "area":
		return has(w.areas, value)
	case "product":
		if value == "lip" && has(w.areas, "lip") || value == "eye-product" && has(w.areas, "eye") {
			return true
		}
		for _, c := range w.codes {
			if c == value || has(strings.Fields(parentsOf[c]), value) {
				return true
			}
		}
		return false
	case "claim":
		return has(w.claims, value)
	case "population":
		low, high := 0, 1200
		switch {
		case value == "children":
			high = 18 * 12
		case strings.HasPrefix(value, "under-"):
			years, _ := strconv.Atoi(strings.TrimPrefix(value, "under-"))
			high = years * 12
		case strings.HasSuffix(value, "-plus"):
			years, _ := strconv.Atoi(strings.TrimSuffix(value, "-plus"))
			low = years * 12
		default:
			a, b, _ := strings.Cut(value, "-")
			x, _ := strconv.ParseFloat(a, 64)
			y, _ := strconv.ParseFloat(b, 64)
			low, high = int(x*12), int(y*12)
		}
		for month := w.from; month < w.to; month++ {
			if month >= low && month < high {
				return true
			}
		}
		return false
	case "function":
		if not, ok := strings.CutPrefix(value, "non-"); ok {
			if not == "colorant" || not == "preservative" {
				others := 0
				for _, f := range w.functions {
					if f != not {
						others++
					}
				}
				return others > 0 || len(w.functions) == 0
			}
		}
		return has(w.functions, value)
	}
	return slowBare(t, word, w)
}

func slowBare(t *testing.T, word string, w world) bool {
	if figure, ok := strings.CutPrefix(word, "released-formaldehyde>"); ok {
		f, err := strconv.ParseFloat(figure, 64)
		require.NoError(t, err)
		return w.formaldehyde > f
	}
	if figure, ok := strings.CutPrefix(word, "butadiene>="); ok {
		f, err := strconv.ParseFloat(figure, 64)
		require.NoError(t, err)
		return w.butadiene >= f
	}
	aerosol := slices.Contains(w.forms, "aerosol") || slices.Contains(w.forms, "propellant-spray")
	pump := slices.Contains(w.forms, "pump-spray")
	switch word {
	case "all":
		return true
	case "rinse-off":
		return w.rinseOff
	case "leave-on":
		return !w.rinseOff
	case "aerosol", "propellant-spray":
		return aerosol
	case "pump-spray":
		return pump
	case "spray":
		return aerosol || pump || slices.Contains(w.forms, "spray")
	case "loose-powder":
		return slices.Contains(w.forms, "loose-powder")
	case "inhalable":
		return w.inhalable
	case "professional":
		return w.professional
	case "nano":
		return w.nano
	case "massive":
		return w.massive
	case "natural-content":
		return w.natural
	case "refining-history-unknown":
		return !w.refiningKnown
	}
	t.Fatalf("word %q is not in the vocabulary", word)
	return false
}

// slowRow adds what the annex itself asks for.
func slowRow(t *testing.T, annex, condition string, w world) bool {
	switch annex {
	case "IV":
		if !slices.Contains(w.functions, "colorant") {
			return false
		}
	case "VI":
		if slices.Equal(w.functions, []string{"colorant"}) {
			return false
		}
	}
	return slowHolds(t, condition, w)
}

// open lists, for each fact that may be unknown, how to make it unknown in a
// situation and every value it may then have in a world. The values reach both
// sides of every condition.
var open = map[string]struct {
	forget func(*Situation)
	values []func(*world)
}{
	MissingAge: {func(s *Situation) { s.Ages = nil }, []func(*world){
		func(w *world) { w.from, w.to = 0, 6 }, func(w *world) { w.from, w.to = 0, 36 },
		func(w *world) { w.from, w.to = 36, 1200 },
		func(w *world) { w.from, w.to = 216, 1200 }, func(w *world) { w.from, w.to = 72, 120 },
		func(w *world) { w.from, w.to = 6, 12 },
	}},
	MissingFunction: {func(s *Situation) { s.Functions, s.FunctionsKnown = nil, false }, []func(*world){
		func(w *world) { w.functions = []string{"preservative"} }, func(w *world) { w.functions = []string{"fragrance"} },
		func(w *world) { w.functions = []string{"ph-adjuster"} }, func(w *world) { w.functions = []string{"colorant"} },
		func(w *world) { w.functions = []string{"rust-inhibitor"} }, func(w *world) { w.functions = []string{"denaturant"} },
		func(w *world) { w.functions = []string{"peroxide-stabiliser"} },
		func(w *world) { w.functions = []string{"uv-filter"} },
		func(w *world) { w.functions = []string{"other"} }, func(w *world) { w.functions = nil },
	}},
	MissingInhalable: {func(s *Situation) { s.Inhalable = Unknown }, yesNo(func(w *world, b bool) { w.inhalable = b })},
	MissingProfessional: {func(s *Situation) { s.Professional = Unknown },
		yesNo(func(w *world, b bool) { w.professional = b })},
	MissingNano:    {func(s *Situation) { s.Nano = Unknown }, yesNo(func(w *world, b bool) { w.nano = b })},
	MissingMassive: {func(s *Situation) { s.Massive = Unknown }, yesNo(func(w *world, b bool) { w.massive = b })},
	MissingNatural: {func(s *Situation) { s.Natural = Unknown }, yesNo(func(w *world, b bool) { w.natural = b })},
	MissingRefining: {func(s *Situation) { s.RefiningKnown = Unknown },
		yesNo(func(w *world, b bool) { w.refiningKnown = b })},
	MissingButadiene: {func(s *Situation) { s.ButadienePct = nil }, []func(*world){
		func(w *world) { w.butadiene = 0 }, func(w *world) { w.butadiene = 0.1 },
	}},
	MissingFormaldehyde: {func(s *Situation) { s.FormaldPct = nil }, []func(*world){
		func(w *world) { w.formaldehyde = 0 }, func(w *world) { w.formaldehyde = 1 },
	}},
}

func yesNo(set func(*world, bool)) []func(*world) {
	return []func(*world){func(w *world) { set(w, false) }, func(w *world) { set(w, true) }}
}

// slowJudge tries every world that agrees with what is known: a row holds when
// it holds in all of them, does not when it holds in none, and is undecided
// otherwise; a fact is missing when it alone can turn the answer.
func slowJudge(t *testing.T, annex, condition string, known world, unknown []string) Answer {
	worlds := []world{known}
	for _, fact := range unknown {
		var more []world
		for _, w := range worlds {
			for _, set := range open[fact].values {
				v := w
				set(&v)
				more = append(more, v)
			}
		}
		worlds = more
	}
	yes := 0
	missing := map[string]bool{}
	for _, w := range worlds {
		here := slowRow(t, annex, condition, w)
		if here {
			yes++
		}
		for _, fact := range unknown {
			for _, set := range open[fact].values {
				v := w
				set(&v)
				if slowRow(t, annex, condition, v) != here {
					missing[fact] = true
				}
			}
		}
	}
	switch yes {
	case len(worlds):
		return itHolds
	case 0:
		return itDoesNot
	}
	var facts []string
	for f := range missing {
		facts = append(facts, f)
	}
	slices.Sort(facts)
	return Answer{Undecided, facts}
}

// situationAndWorld makes a random full situation of a product type.
func situationAndWorld(p *trade.ProductType, r *rand.Rand) (Situation, world) {
	s := SituationOf(p)
	flip := func() bool { return r.IntN(2) == 0 }
	if r.IntN(4) == 0 {
		s = s.AddForm([]string{"pump-spray", "aerosol", "loose-powder"}[r.IntN(3)])
	}
	if r.IntN(6) == 0 {
		s.Areas = append(slices.Clone(s.Areas), condition.AreaWords[r.IntN(len(condition.AreaWords))])
		s = s.Complete()
	}
	if r.IntN(4) == 0 {
		s.Claims = []string{condition.ClaimWords[r.IntN(len(condition.ClaimWords))]}
	}
	ages := []Ages{{0, 36}, {36, 1200}, {216, 1200}}[r.IntN(3)]
	functions := [][]string{
		{"preservative"}, {"fragrance"}, {"ph-adjuster"}, {"colorant"}, {"uv-filter"}, {"other"}, nil,
		{"preservative", "fragrance"},
		{"colorant", "uv-filter"}, {"rust-inhibitor"}, {"denaturant"}, {"peroxide-stabiliser"},
	}[r.IntN(12)]
	w := world{
		rinseOff: s.RinseOff, areas: s.Areas, codes: s.Codes, forms: s.Forms, claims: s.Claims, functions: functions,
		from: ages.From, to: ages.To, inhalable: flip(), professional: flip(), nano: flip(), massive: flip(), natural: flip(),
		refiningKnown: flip(), butadiene: []float64{0, 0.09, 0.1}[r.IntN(3)],
		formaldehyde: []float64{0, 0.001, 0.002, 0.05, 0.06}[r.IntN(5)],
	}
	s.Ages, s.Functions, s.FunctionsKnown = &ages, functions, true
	s.Inhalable, s.Professional, s.Nano, s.Massive = Is(w.inhalable), Is(w.professional), Is(w.nano), Is(w.massive)
	s.Natural, s.RefiningKnown = Is(w.natural), Is(w.refiningKnown)
	s.ButadienePct, s.FormaldPct = numOf(w.butadiene), numOf(w.formaldehyde)
	return s, w
}

func numOf(f float64) *exact.Num {
	n, err := exact.ParseNum(strconv.FormatFloat(f, 'f', -1, 64))
	if err != nil {
		panic(err)
	}
	return &n
}

// TestJudgeAgainstSlow compares the judge with the plain method on every
// condition of the table, every product type, all facts known and some not.
func TestJudgeAgainstSlow(t *testing.T) {
	type rule struct{ annex, condition string }
	rules := map[rule]*annex.Limit{}
	for _, l := range Limits(table.Builtin()) {
		annex := l.Annex
		if annex != "IV" && annex != "VI" {
			annex = ""
		}
		rules[rule{annex, l.Condition.Text}] = l
	}
	require.Greater(t, len(rules), 250)
	r := rand.New(rand.NewPCG(1223, 2009))
	facts := []string{
		MissingAge, MissingFunction, MissingInhalable, MissingProfessional, MissingNano, MissingMassive,
		MissingNatural, MissingRefining,
		MissingButadiene, MissingFormaldehyde,
	}
	verdicts := map[Verdict]int{}
	for _, p := range ProductTypes(table.Builtin()) {
		for round := range 3 {
			s, w := situationAndWorld(p, r)
			var unknown []string
			for _, f := range facts {
				if round > 0 && r.IntN(2) == 0 {
					open[f].forget(&s)
					unknown = append(unknown, f)
				}
			}
			for k, l := range rules {
				w := w
				if k.annex == "VI" && slices.Contains(unknown, MissingFunction) {
					w.functions = []string{"other"} // an unknown purpose does not lift the annex
				}
				got := JudgeLimit(l, s)
				want := slowJudge(t, k.annex, k.condition, w, relevant(l, unknown))
				if got.Verdict != want.Verdict || !slices.Equal(got.Missing, want.Missing) {
					t.Fatalf("%s %q in %s: %v %v, the slow method says %v %v\n%+v", l.Key, k.condition, p.Key, got.Verdict,
						got.Missing, want.Verdict, want.Missing, s)
				}
				verdicts[got.Verdict]++
			}
		}
	}
	for _, v := range []Verdict{Undecided, DoesNot, Holds} {
		require.Greater(t, verdicts[v], 1000, v.String())
	}
}

// relevant keeps the unknown facts that the row may ask for; the others cannot
// turn it and would only multiply the worlds.
func relevant(l *annex.Limit, unknown []string) []string {
	var out []string
	words := map[string]string{MissingAge: "population", MissingFormaldehyde: "formaldehyde", MissingRefining: "refining"}
	for _, f := range unknown {
		word := words[f]
		if word == "" {
			word = f
		}
		if strings.Contains(l.Condition.Text, word) || f == MissingFunction && l.Annex == "IV" {
			out = append(out, f)
		}
	}
	return out
}
