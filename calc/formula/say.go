package formula

import (
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// unsureLaw names the term for an instrument that was not read as made.
var unsureLaw = map[annex.Instrument]string{
	annex.InstrumentDraft:     "draft-law",
	annex.InstrumentSecondary: "secondary-reports",
}

// marketNames lists the markets whose annexes hold a row.
// MarketNames are markets as they are printed.
func MarketNames(markets []rows.Market) []string {
	names := make([]string, len(markets))
	for i, m := range markets {
		names[i] = string(m)
	}
	return names
}

// unseenEntry says whether the number of the entry was not read.
func unseenEntry(row *annex.Limit) bool { return row.EntryUnread }

// EntryOf names the entry of a row, such as III/98.
func EntryOf(l *annex.Limit) string {
	if l.Annex == "own" {
		return "own " + l.Entry
	}
	return l.EntryName()
}

// Material is a raw material as a value: by its name where there is a sheet.
func (in *Input) Material(id string) finding.Value {
	if s := in.Sheets[id]; s != nil {
		return s.Named()
	}
	return finding.Value{Kind: finding.KindName, Text: id, ID: id}
}

// Named puts the names of raw materials into findings that were made without the
// sheets.
func (in *Input) Named(fs []finding.Finding) []finding.Finding {
	for i := range fs {
		for _, t := range fs[i].Sum {
			for j, v := range t.Values {
				if v.ID != "" && v.ID == v.Text {
					t.Values[j] = in.Material(v.ID)
					t.Values[j].Name = v.Name
				}
			}
		}
	}
	return fs
}

// MaterialsNamed are raw materials as a list of values.
func (in *Input) MaterialsNamed(ids []string) finding.Values {
	var list finding.Values
	for _, id := range ids {
		list = append(list, in.Material(id))
	}
	return list
}

// OnProduct returns a finding about the product.
func (in *Input) OnProduct(f finding.Finding) finding.Finding {
	f = f.On(in.Product.ID)
	if n := in.Product.Name; n != "" {
		f.Subject, f.About.Text = n, n
	}
	f.About.ID = in.Product.ID
	return f
}

// on returns a finding about a raw material.
func (in *Input) OnMaterial(f finding.Finding, id string) finding.Finding {
	f.About = in.Material(id)
	f.Subject = f.About.Text
	return f
}

// SupplierOf is the supplier of a raw material as one who is asked.
func (in *Input) SupplierOf(id string) finding.Party {
	if s := in.Sheets[id]; s != nil {
		return s.Asked()
	}
	return finding.TheSupplier
}

// RowSource is a row of a table as what a finding rests on.
func RowSource(source, file, row string, unverified bool) finding.Values {
	v := make(finding.Values, 0, 4).Quote("source", source).Name("file", file).Name("row",
		row).Flag(unverified, "unverified")
	return finding.Values{{Kind: finding.KindTerm, Text: "table-row", List: v}}
}

// LawSource is a row of the limit tables as what a finding about a market rests on
// on a day: the entry of that market, its dates and its source. A finding that joins
// markets names each of theirs. It is made once for a session; nothing of it may be changed.
func (in *Input) LawSource(row *annex.Limit, day exact.Date) finding.Values {
	return MemoryOf[lawSourceMemory](in.Session).Of(lawSourceKey{row, in.Market, day},
		func() finding.Values { return lawSource(row, in.Market, day) })
}

// lawSourceMemory keeps the rows of the law as what findings rest on.
type lawSourceMemory struct {
	Memo[lawSourceKey, finding.Values]
}

type lawSourceKey struct {
	row    *annex.Limit
	market rows.Market
	day    exact.Date
}

func lawSource(row *annex.Limit, m rows.Market, day exact.Date) finding.Values {
	v, source := With(), row.SourceIn(m)
	if row.Own {
		v = v.Name("own", row.Key)
	}
	v = v.Quote("source", source)
	if !row.Own && !strings.Contains(source, strings.Replace(EntryOf(row), "/preamble-", " preamble ", 1)) {
		v = v.Name("annex", row.Annex)
		if unseenEntry(row) {
			v = v.Term("entry", "entry-not-read", nil)
		} else {
			v = v.Term("entry", "entry-number", With().Name("number", row.Entry))
		}
	}
	v = v.Name("market", string(m.Annexes())).Day("from", row.From).Day("until", row.UntilIn(m))
	if !row.OffShelf.IsZero() && !row.OffShelf.Before(day) && !day.Before(row.From) {
		v = v.Day("stock", row.OffShelf)
	}
	v = v.Name("file", row.File).Name("row", row.Key).Flag(row.FromMemory(), "unverified")
	if key := unsureLaw[row.Instrument]; key != "" {
		v = v.Term("draft", key, nil)
	}
	return finding.Values{{Kind: finding.KindTerm, Text: "law-row", List: v}}
}

// AnnexSource is an annex of the market as what a finding rests on, with the day up
// to which it is in the tables.
func (in *Input) AnnexSource(annex string) finding.Values {
	v := With().Quote("source", in.Law.StateOf(in.Market).Cite(annex))
	return finding.Values{{Kind: finding.KindTerm, Text: "law-annex", List: v}}
}

// portion names the portion that a figure is of; nothing for the whole product.
func PortionNamed(v finding.Values, name string) finding.Values {
	return v.Name("portion", name)
}

// OnVariant returns a finding about a variant of the product.
func (in *Input) OnVariant(f finding.Finding) finding.Finding {
	f = in.OnProduct(f)
	if in.Variant.ID == "" {
		return f
	}
	name := in.Variant.Name
	if name == "" {
		name = in.Variant.ID
	}
	f.About.ID += "/" + in.Variant.ID
	if strings.HasPrefix(name, f.Subject) {
		f.Subject = name
	} else {
		f.Subject += ", " + name
	}
	f.About.Text = f.Subject
	return f
}
