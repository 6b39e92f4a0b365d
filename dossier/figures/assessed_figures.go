package figures

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"gallipot/calc"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Snapshot is the figures of one variant in one market, as JSON carries them.
// It is what two states of a product are compared by. Amounts are % w/w.
type Snapshot struct {
	Product        string          `json:"product"`
	Variant        string          `json:"variant"`
	Market         string          `json:"market"`
	Date           string          `json:"date"`
	Fingerprint    string          `json:"fingerprint"`
	Composition    []keptSubstance `json:"composition"`
	IngredientList string          `json:"ingredient_list"`
	Allergens      []keptAllergen  `json:"allergens"`
	Fragrance      []keptFragrance `json:"fragrance"`
	Limits         []keptLimit     `json:"limits"`
	Exposure       keptExposure    `json:"exposure"`
	MoS            []keptMargin    `json:"mos"`
	Documents      []documentJSON  `json:"documents"`
}

// Snapshots are the figures of any number of products.
type Snapshots []Snapshot

type keptSubstance struct {
	INCI    string      `json:"inci"`
	Nano    bool        `json:"nano"`
	Min     json.Number `json:"min"`
	Typical json.Number `json:"typical"`
	Max     json.Number `json:"max"`
}

type keptAllergen struct {
	LabelName string      `json:"label_name"`
	Max       json.Number `json:"max"`
	Threshold json.Number `json:"threshold"`
	Verdict   string      `json:"verdict"`
}

type keptFragrance struct {
	Ingredient string       `json:"ingredient"`
	Category   string       `json:"category"`
	UsePct     json.Number  `json:"use_pct"`
	LimitPct   *json.Number `json:"limit_pct"`
	Portion    string       `json:"portion"`
	Status     string       `json:"status"`
}

type keptLimit struct {
	Substance  string       `json:"substance"`
	Annex      string       `json:"annex"`
	Entry      string       `json:"entry"`
	Row        string       `json:"row"`
	ContentMax json.Number  `json:"content_max"`
	Limit      *json.Number `json:"limit"`
	Verdict    string       `json:"verdict"`
}

type keptExposure struct {
	Relative *float64 `json:"relative_mg_per_kg_bw_d"`
}

type keptMargin struct {
	INCI    string   `json:"inci"`
	MoS     *float64 `json:"mos"`
	Target  float64  `json:"target"`
	Verdict string   `json:"verdict"`
}

// documentJSON is a paper behind a raw material in use.
type documentJSON struct {
	Ingredient string     `json:"ingredient"`
	Kind       string     `json:"kind"`
	File       string     `json:"file"`
	Dated      exact.Date `json:"dated"`
	SHA256     string     `json:"sha256"` // of the file; "" where it is not there
}

// UnmarshalJSON reads a paper back; a day that is none is left out.
func (d *documentJSON) UnmarshalJSON(data []byte) error {
	var raw struct{ Ingredient, Kind, File, Dated, SHA256 string }
	if err := json.Unmarshal(data, &raw); err != nil {
		return err
	}
	*d = documentJSON{Ingredient: raw.Ingredient, Kind: raw.Kind, File: raw.File, SHA256: raw.SHA256}
	if day, err := exact.ParseDate(raw.Dated); err == nil {
		d.Dated = day
	}
	return nil
}

// ReadFigures reads what gallipot figures --json printed.
//
// Errors: data that are no such list, in words for the maker.
func ReadFigures(data []byte) (Snapshots, error) {
	var list Snapshots
	dec := json.NewDecoder(bytes.NewReader(asUTF8(data)))
	if err := dec.Decode(&list); err != nil {
		return nil, fmt.Errorf("these are no figures of gallipot figures --json: %s", plainJSONError(err))
	}
	for i, s := range list {
		if s.Product == "" || s.Market == "" || s.Fingerprint == "" {
			return nil, fmt.Errorf("result %d names no product, market or fingerprint", i+1)
		}
		if err := s.check(); err != nil {
			return nil, fmt.Errorf("result %d: %w", i+1, err)
		}
	}
	return list, nil
}

// plainJSONError words a fault of a JSON file without the names of Go.
func plainJSONError(err error) string {
	if typeErr, ok := err.(*json.UnmarshalTypeError); ok {
		return fmt.Sprintf("%s at byte %d is a %s", typeErr.Field, typeErr.Offset, typeErr.Value)
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

var plainDecimal = pattern.New(`^-?[0-9]{1,20}(\.[0-9]{1,40})?$`)

// check refuses figures that are no plain decimals.
func (s *Snapshot) check() error {
	var bad error
	num := func(what string, n json.Number) {
		if !plainDecimal.MatchString(string(n)) && bad == nil {
			bad = fmt.Errorf("%s: %q is no plain number", what, string(n))
		}
	}
	for _, c := range s.Composition {
		num(c.INCI, c.Min)
		num(c.INCI, c.Typical)
		num(c.INCI, c.Max)
	}
	for _, x := range s.Allergens {
		num(x.LabelName, x.Max)
		num(x.LabelName, x.Threshold)
	}
	for _, x := range s.Fragrance {
		num(x.Ingredient, x.UsePct)
	}
	for _, x := range s.Limits {
		num(x.Row, x.ContentMax)
	}
	return bad
}

// FiguresOf takes the figures of assessments.
//
// Errors: when they cannot be written as JSON, which is our mistake.
func FiguresOf(as []*assess.Assessment) (Snapshots, error) {
	list := []resultJSON{}
	for _, a := range as {
		for _, r := range a.Results {
			list = append(list, toJSON(a, r)) // as printed, so that both sides are compared in the same form
		}
	}
	data, err := json.Marshal(list)
	if err != nil {
		return nil, err
	}
	return ReadFigures(data)
}

// Of returns the figures of one product.
func (l Snapshots) Of(product string) Snapshots {
	var out Snapshots
	for _, s := range l {
		if s.Product == product {
			out = append(out, s)
		}
	}
	return out
}

// Products lists the products in the order of their first figures.
func (l Snapshots) Products() []string {
	var ids []string
	for _, s := range l {
		ids = words.AddOnce(ids, s.Product)
	}
	return ids
}

// find returns the figures of a variant in a market, or nil.
func (l Snapshots) find(product, variant, market string) *Snapshot {
	i := slices.IndexFunc(l, func(s Snapshot) bool {
		return s.Product == product && s.Variant == variant &&
			s.Market == market
	})
	if i < 0 {
		return nil
	}
	return &l[i]
}

// documentsJSON lists the papers behind the raw materials of a result.
func documentsJSON(w *workshop.Workshop, r *calc.Result) []documentJSON {
	list := []documentJSON{}
	var ids []string
	for _, share := range r.Recipe.Whole.Shares {
		ids = words.AddOnce(ids, share.Ingredient)
	}
	slices.Sort(ids)
	for _, id := range ids {
		s := w.Sheets[id]
		if s == nil {
			continue
		}
		for _, d := range s.Documents {
			hash, _ := w.EvidenceHash(d.File)
			list = append(list, documentJSON{id, d.Kind, d.File, d.Dated, hash})
		}
	}
	return list
}

// asUTF8 returns a text as UTF-8 without a byte order mark. The usual shell of Windows
// writes what a program prints into a file as UTF-16 when it is told to with >.
func asUTF8(data []byte) []byte {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		order = binary.LittleEndian
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		order = binary.BigEndian
	default:
		return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	}
	units := make([]uint16, 0, len(data)/2)
	for i := 2; i+1 < len(data); i += 2 {
		units = append(units, order.Uint16(data[i:]))
	}
	return []byte(string(utf16.Decode(units)))
}
