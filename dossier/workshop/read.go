package workshop

import (
	"errors"
	"io/fs"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/source"
)

// readWorkshop reads workshop.yaml and says whether there is one.
func (l *loader) readWorkshop() bool {
	name := "workshop.yaml"
	if _, err := fs.Stat(l.fsys, name); errors.Is(err, fs.ErrNotExist) {
		return false
	}
	src, f := l.open(name)
	if f != nil {
		l.findings = append(l.findings, *f)
		return true
	}
	l.w.Sources[name] = src
	l.findings = append(l.findings, l.w.ReadSettings(src)...)
	return true
}

// ReadSettings reads workshop.yaml into the workshop and says what is wrong with it.
func (w *Workshop) ReadSettings(src *source.Source) []finding.Finding {
	r := source.NewReader(src)
	if m, ok := r.Root("workshop file"); ok {
		w.read(m)
		m.Done()
	}
	return r.Findings()
}

func (w *Workshop) read(m *source.Mapping) {
	const party = "{name: …, address: [street, town, postcode], country: GB}"
	m.Need("maker", "maker: "+party)
	m.At("maker").In("maker", party, func(m *source.Mapping) { w.Maker = readParty(m) })
	m.At("responsible_person").In("list of responsible persons", "{GB: {name: …, address: […]}}",
		func(m *source.Mapping) {
			for _, market := range marketWords {
				m.At(market).In("responsible person", party, func(m *source.Mapping) {
					w.ResponsiblePersons[rows.Market(market)] = readParty(m)
				})
			}
		})
	m.Need("markets", "markets: [GB]")
	w.Markets = readMarkets(m.At("markets"))
	m.At("balance").In("balance", "{division_g: 0.1}", func(m *source.Mapping) {
		m.Need("division_g", "division_g: 0.1")
		w.BalanceDivisionG = m.At("division_g").Positive()
		w.FineDivisionG, w.FineMaxG = readFineBalance(m)
	})
	if v := m.At("batch_code"); v.Present() {
		w.BatchCode = readCodeScheme(v)
	}
	if n, ok := m.At("evidence_years").Count(1, 50); ok {
		w.EvidenceYears = n
	}
	m.At("outlets").EachIn("outlet",
		"{name: as batch records have it under sent, contact: {name: …, phone: …}}", func(m *source.Mapping) {
			m.Need("name", "name: as batch records have it under sent")
			w.Outlets = append(w.Outlets, outlet{m.At("name").Text(), readContact(m.At("contact"))})
		})
	w.Decisions = readDecisions(m.At("decisions"), nil)
	w.Invented = m.At("invented").Yes()
}

var countryForm = pattern.New(`^[A-Z]{2}$`)

func readParty(m *source.Mapping) Party {
	m.Need("name", "name: …")
	m.Need("address", "address: [street, town, postcode]")
	p := Party{Name: m.At("name").Text(), Address: m.At("address").Texts("address line"), Pos: m.Pos()}
	country := m.At("country")
	p.Country = country.Text()
	if country.Present() && p.Country != "" && !countryForm.MatchString(p.Country) {
		country.Stop(codeBadCountry, "", With().Quote("typed", p.Country))
	} else if p.Country == "UK" {
		country.Stop(codeBadCountry, "uk", nil)
	}
	p.Contact = readContact(m.At("contact"))
	p.HoldsFile = m.At("holds_file").Yes()
	return p
}

// readMarkets reads a list of markets; each once.
func readMarkets(v source.Node) (markets []rows.Market) {
	seen := map[string]bool{}
	v.Each("market", "[GB, EU]", func(e source.Node) {
		if word := e.Choice(marketWords...); word != "" && !seen[word] {
			seen[word] = true
			markets = append(markets, rows.Market(word))
		}
	})
	if v.IsList() && v.Len() == 0 {
		v.Stop(source.CodeEmptyValue, "list", With().Name("write", "[GB]"))
	}
	return markets
}
