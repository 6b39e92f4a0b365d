package calc

import (
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// with begins the values of a finding.
func with() ingredients.Values { return nil }

// material is a raw material as a value: by its name where there is a sheet.
func (in *Input) material(id string) ingredients.Value {
	if s := in.Sheets[id]; s != nil {
		return s.Named()
	}
	return ingredients.Value{Kind: ingredients.KindName, Text: id, ID: id}
}

// named puts the names of raw materials into findings that were made without the
// sheets.
func (in *Input) named(fs []ingredients.Finding) []ingredients.Finding {
	for i := range fs {
		for _, t := range fs[i].Sum {
			for j, v := range t.Values {
				if v.ID != "" && v.ID == v.Text {
					t.Values[j] = in.material(v.ID)
					t.Values[j].Name = v.Name
				}
			}
		}
	}
	return fs
}

// materials are raw materials as a list of values.
func (in *Input) materials(ids []string) ingredients.Values {
	var list ingredients.Values
	for _, id := range ids {
		list = append(list, in.material(id))
	}
	return list
}

// onProduct returns a finding about the product.
func (in *Input) onProduct(f ingredients.Finding) ingredients.Finding {
	f = f.On(in.Product.ID)
	if n := in.Product.Name; n != "" {
		f.Subject, f.About.Text = n, n
	}
	f.About.ID = in.Product.ID
	return f
}

// on returns a finding about a raw material.
func (in *Input) onMaterial(f ingredients.Finding, id string) ingredients.Finding {
	f.About = in.material(id)
	f.Subject = f.About.Text
	return f
}

// supplierOf is the supplier of a raw material as one who is asked.
func (in *Input) supplierOf(id string) ingredients.Party {
	if s := in.Sheets[id]; s != nil {
		return s.Asked()
	}
	return ingredients.TheSupplier
}

// rowSource is a row of a table as what a finding rests on.
func rowSource(source, file, row string, unverified bool) ingredients.Values {
	v := with().Quote("source", source).Name("file", file).Name("row", row).Flag(unverified, "unverified")
	return ingredients.Values{{Kind: ingredients.KindTerm, Text: "table-row", List: v}}
}

// lawSource is a row of the limit tables as what a finding rests on on a day.
func lawSource(row *law.Limit, day ingredients.Date) ingredients.Values {
	v := with()
	if row.Own {
		v = v.Name("own", row.Key)
	}
	v = v.Quote("source", row.Source)
	if !row.Own && !sourceNames(row) {
		v = v.Name("annex", row.Annex)
		if unseenEntry(row) {
			v = v.Term("entry", "entry-not-read", nil)
		} else {
			v = v.Term("entry", "entry-number", with().Name("number", row.Entry))
		}
	}
	v = v.Names("markets", marketNames(row.Markets)).Day("from", row.From).Day("until", row.Until)
	if !row.OffShelf.IsZero() && !row.OffShelf.Before(day) && !day.Before(row.From) {
		v = v.Day("stock", row.OffShelf)
	}
	v = v.Name("file", row.File).Name("row", row.Key).Flag(row.FromMemory(), "unverified")
	if key := unsureLaw[row.Instrument]; key != "" {
		v = v.Term("draft", key, nil)
	}
	return ingredients.Values{{Kind: ingredients.KindTerm, Text: "law-row", List: v}}
}

// portion names the portion that a figure is of; nothing for the whole product.
func portion(v ingredients.Values, name string) ingredients.Values { return v.Name("portion", name) }

// onVariant returns a finding about a variant of the product.
func (in *Input) onVariant(f ingredients.Finding) ingredients.Finding {
	f = in.onProduct(f)
	if in.Variant.ID == "" {
		return f
	}
	name := in.Variant.Name
	if name == "" {
		name = in.Variant.ID
	}
	f.About.ID += "/" + in.Variant.ID
	f.Subject += ", " + name
	f.About.Text = f.Subject
	return f
}
