package recalc_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// rezip passes every file of a workbook through a function.
func rezip(t *testing.T, data []byte, change func(name string, content []byte) []byte) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, f := range in.File {
		content, err := readZipped(f)
		require.NoError(t, err)
		w, err := zw.Create(f.Name)
		require.NoError(t, err)
		_, err = w.Write(change(f.Name, content))
		require.NoError(t, err)
	}
	require.NoError(t, zw.Close())
	return out.Bytes()
}

func readZipped(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

// chanceShop makes workshops by chance: raw materials with ranges, complete and
// incomplete compositions, traces, scents with declarations, and one product with
// slots, portions and additions. The same seed gives the same workshop.
type chanceShop struct {
	r     *rand.Rand
	files map[string]string
	bases []string // raw materials that are no scents
	fos   []string
	tints []string
}

// chanceSubstances are real names with their CAS numbers; the contents are not.
var chanceSubstances = []string{"Glycerin|56-81-5", "Cetearyl Alcohol|67762-27-0",
	"Decyl Glucoside|68515-73-1", "Sodium Chloride|7647-14-5", "Phenoxyethanol|122-99-6",
	"Sodium Benzoate|532-32-1", "Potassium Sorbate|24634-61-5", "Citric Acid|77-92-9", "Xanthan Gum|11138-66-2",
	"Tocopherol|59-02-9", "Cocamidopropyl Betaine|61789-40-0",
	"Propylene Glycol|57-55-6", "Panthenol|81-13-0", "Urea|57-13-6", "Betaine|107-43-7",
	"Glyceryl Stearate|31566-31-1", "Lecithin|8002-43-5", "Sodium Lauryl Sulfate|151-21-3",
	"Caprylic/Capric Triglyceride|73398-61-5", "Ethylhexylglycerin|70445-33-9", "Lactic Acid|50-21-5",
	"Squalane|111-01-3", "Inulin|9005-80-5", "Allantoin|97-59-6"}

var chanceAllergens = []string{"Linalool|78-70-6", "Limonene|5989-27-5", "Citral|5392-40-5",
	"Geraniol|106-24-1", "Citronellol|106-22-9", "Coumarin|91-64-5", "Eugenol|97-53-0",
	"Hexyl Cinnamal|101-86-0", "Benzyl Salicylate|118-58-1", "Hydroxycitronellal|107-75-5",
	"Alpha-Isomethyl Ionone|127-51-5", "Vanillin|121-33-5", "Camphor|76-22-2", "Beta-Pinene|127-91-3"}

var chanceTraces = []string{"Lead|7439-92-1", "Arsenic|7440-38-2", "1,4-Dioxane|123-91-1", "Decyl Alcohol|112-30-1"}

var chanceTypes = []string{"shower-gel", "body-lotion", "lip-balm", "hair-spray-pump", "baby-lotion",
	"hand-sanitiser-cosmetic", "deodorant-stick", "toothpaste", "foot-powder", "face-cream", "bath-oil", "perfume-spray"}

// newChanceShop makes one.
func newChanceShop(seed uint64) *chanceShop {
	s := &chanceShop{r: rand.New(rand.NewPCG(seed, 11)),
		files: map[string]string{"workshop.yaml": "maker: {name: Skerry Bench (invented), address: [A], country: GB}\nmarkets: [GB, EU]\n"}}
	s.sheet("water", "composition: {complete: true, constituents: [{inci: Aqua, cas: 7732-18-5, pct: 100}]}\n")
	for i := range 4 + s.r.IntN(8) {
		s.base(fmt.Sprintf("base-%d", i))
	}
	for i := range 1 + s.r.IntN(4) {
		s.scent(fmt.Sprintf("fo-%d", i))
	}
	for i := range 1 + s.r.IntN(2) {
		id := fmt.Sprintf("tint-%d", i)
		s.tints = append(s.tints, id)
		s.sheet(id, fmt.Sprintf("functions: [colouring]\ncomposition: {complete: true, constituents: [{inci: Mica, cas: 12001-26-2, pct: q.s.}, {inci: CI 77891, cas: 13463-67-7, pct: \"%d-%d\"}]}\n", 20+i, 35+i))
	}
	return s
}

func (s *chanceShop) sheet(id, text string) {
	s.files["ingredients/"+id+".yaml"] = "id: " + id + "\nname: Name of " + id + "\nsupplier: {name: Whin Supplies (invented)}\n" + text
}

// amount is a content up to most, as papers write it.
func (s *chanceShop) amount(most float64) string {
	a, b := s.r.Float64()*most, s.r.Float64()*most
	if a > b {
		a, b = b, a
	}
	switch s.r.IntN(5) {
	case 0:
		return fmt.Sprintf("%.3f", b+0.001)
	case 1:
		return fmt.Sprintf(`"<%.3f"`, b+0.001)
	case 2:
		return fmt.Sprintf("{min: %.3f, typical: %.3f, max: %.3f}", a, (a+3*b)/4, b+0.001)
	case 3:
		return fmt.Sprintf(`"%.0f ppm"`, b*10_000+1)
	}
	return fmt.Sprintf(`"%.2f-%.2f"`, a, b+0.01)
}

func split(s string) (name, cas string) {
	name, cas, _ = strings.Cut(s, "|")
	return name, cas
}

func (s *chanceShop) some(list []string, n int) []string {
	var out []string
	for _, i := range s.r.Perm(len(list))[:min(n, len(list))] {
		out = append(out, list[i])
	}
	return out
}

func (s *chanceShop) base(id string) {
	s.bases = append(s.bases, id)
	var parts []string
	var first string
	substances := s.some(chanceSubstances, 1+s.r.IntN(4))
	for i, x := range substances {
		name, cas := split(x)
		pct := s.amount(80 / float64(len(substances)))
		if i == 0 {
			first = name
		}
		parts = append(parts, fmt.Sprintf("{inci: %q, cas: %s, pct: %s}", name, cas, pct))
	}
	complete := "false"
	if s.r.IntN(3) > 0 {
		complete = "true"
		parts = append(parts, "{inci: Aqua, cas: 7732-18-5, pct: q.s.}")
	}
	text := "composition: {complete: " + complete + ", constituents: [" + strings.Join(parts, ", ") + "]}\n"
	if s.r.IntN(3) == 0 {
		name, cas := split(s.some(chanceTraces, 1)[0])
		text += fmt.Sprintf("impurities: [{name: %q, cas: %s, amount: %q}]\n", name, cas,
			fmt.Sprintf("<%d ppm", 1+s.r.IntN(50)))
	}
	text += s.toxicology(first)
	s.sheet(id, text)
}

// toxicology states values of a substance in one of the forms that sheets take.
func (s *chanceShop) toxicology(name string) string {
	const frame = "toxicology: [{inci: %q, %s, source: invented}]\n"
	switch s.r.IntN(6) {
	case 0:
		return fmt.Sprintf(frame, name,
			fmt.Sprintf("replaces: true, pod: {type: NOAEL, mg_per_kg_bw_d: %d}, study: oral 28 days, dermal_absorption_pct: %d, oral_absorption_pct: %d", 20+s.r.IntN(400), 1+s.r.IntN(60), 20+s.r.IntN(80)))
	case 1:
		return fmt.Sprintf(frame, name,
			fmt.Sprintf("replaces: true, pod: {type: LOAEL, mg_per_kg_bw_d: %d}, study: dermal 90 days, dermal_absorption_pct: %d", 20+s.r.IntN(400), 1+s.r.IntN(60)))
	case 2:
		return fmt.Sprintf(frame, name,
			fmt.Sprintf("pod: {type: NOAEL, mg_per_kg_bw_d: %d}, dermal_ug_cm2: %.2f", 20+s.r.IntN(400), 0.05+s.r.Float64()))
	}
	return ""
}

func (s *chanceShop) scent(id string) {
	s.fos = append(s.fos, id)
	list := []string{"2003-15", "2023-1545"}[s.r.IntN(2)]
	var declared, parts []string
	for i, x := range s.some(chanceAllergens, 2+s.r.IntN(8)) {
		name, cas := split(x)
		declared = append(declared, fmt.Sprintf("{name: %q, cas: %s, pct: %s}", name, cas, s.amount(6)))
		if i < 2 {
			parts = append(parts, fmt.Sprintf("{inci: %q, cas: %s, pct: %s}", name, cas, s.amount(5)))
		}
	}
	text := "functions: [perfuming]\nlabel_as: parfum\n"
	if s.r.IntN(4) > 0 { // else nothing is declared
		text += "allergens: {list: " + list + ", dated: 2026-01-05, declared: [" + strings.Join(declared, ", ") + "]}\n"
	}
	if s.r.IntN(2) == 0 { // some of it is listed in the composition too
		text += "composition: {complete: false, constituents: [" + strings.Join(parts, ", ") + "]}\n"
	}
	s.sheet(id, text)
}

// product writes the product; variants is how many it has.
func (s *chanceShop) product(variants int) {
	r := s.r
	basis := []string{"percent", "percent", "grams"}[r.IntN(3)]
	rest := basis == "percent" && r.IntN(3) > 0
	lines, scent, tint := s.lines(basis, rest)
	var b strings.Builder
	fmt.Fprintf(&b, "id: p\nname: Product of chance\nrevision: 1\nproduct_type: %s\nmarkets: [GB, EU]\n",
		chanceTypes[r.IntN(len(chanceTypes))])
	fmt.Fprintf(&b, "intended_for: %s\n", []string{"adults", "adults", "children-3-plus", "under-3"}[r.IntN(4)])
	switch r.IntN(6) {
	case 0:
		b.WriteString("exposure: {retention_pct: 3, source: invented}\n")
	case 1:
		b.WriteString("exposure: {amount_g_per_day: 4.5, retention_pct: 20, times_per_day: 1.5, area_cm2: 900, source: invented}\n")
	case 2:
		b.WriteString("exposure: {mg_per_kg_bw_d: 12.5, body_weight_kg: 14, source: invented}\n")
	}
	fmt.Fprintf(&b, "formula: {basis: %s, phases: [{id: A, lines: [%s]}, {id: B, lines: [{slot: scent, amount: %s}, {slot: colour, amount: %s}]}]}\n", basis, strings.Join(lines, ", "), scent, tint)
	b.WriteString("variants:\n")
	for i := range variants {
		b.WriteString(s.variant(i))
	}
	s.files["products/p.yaml"] = b.String()
}

// lines fills the formula so that all lines and slots make 100, or any masses.
func (s *chanceShop) lines(basis string, rest bool) (lines []string, scent, tint string) {
	left := 990_000 // 100 % less 1 % for the slots, in ten-thousandths of a per cent
	for i, id := range s.bases {
		n := left / (2 + s.r.IntN(3))
		if i == len(s.bases)-1 && !rest {
			n = left
		}
		left -= n
		lines = append(lines, fmt.Sprintf("{ingredient: %s, amount: %d.%04d}", id, n/10_000, n%10_000))
	}
	if rest {
		lines = append([]string{"{ingredient: water, amount: q.s.}"}, lines...)
	}
	if s.r.IntN(2) == 0 && len(lines) > 2 { // the same raw material on two lines
		n := 1_000
		if basis == "grams" || rest {
			lines = append(lines, fmt.Sprintf("{ingredient: %s, amount: 0.%04d}", s.bases[0], n))
		}
	}
	return lines, "0.8", "0.2"
}

func (s *chanceShop) one(list []string) string { return list[s.r.IntN(len(list))] }

// fill fills the slots in one of the ways there are.
func (s *chanceShop) fill() string {
	var parts []string
	if s.r.IntN(5) > 0 {
		scent := s.one(s.fos)
		if s.r.IntN(3) == 0 && len(s.fos) > 1 {
			two := s.some(s.fos, 2)
			share := 10 + s.r.IntN(80)
			scent = fmt.Sprintf("[{ingredient: %s, share: %d}, {ingredient: %s, share: %d}]", two[0], share, two[1], 100-share)
		}
		parts = append(parts, "scent: "+scent)
	}
	if s.r.IntN(3) > 0 {
		parts = append(parts, "colour: "+s.one(s.tints))
	}
	return strings.Join(parts, ", ")
}

func (s *chanceShop) variant(i int) string {
	text := fmt.Sprintf("  - id: v%d\n", i)
	if s.r.IntN(4) == 0 {
		text += "    then_add: [{ingredient: " + s.one(s.bases) + ", parts_per_100: " + fmt.Sprintf("%.1f",
			0.5+8*s.r.Float64()) + "}"
		if s.r.IntN(2) == 0 {
			text += ", {ingredient: " + s.one(s.tints) + ", parts_per_100: 0.3}"
		}
		text += "]\n"
	}
	if s.r.IntN(4) == 0 {
		n := 2 + s.r.IntN(2)
		shares := [][]int{nil, nil, {37, 63}, {20, 35, 45}}[n]
		text += "    portions:\n"
		for k := range n {
			text += fmt.Sprintf("      - {name: layer %d, share: %d, fill: {%s}}\n", k, shares[k], s.fill())
		}
		return text
	}
	return text + "    fill: {" + s.fill() + "}\n"
}

// soap adds what a reaction with lye needs and writes a product that reacts.
func (s *chanceShop) soap() {
	for _, x := range []string{"olive|Olea Europaea Fruit Oil", "coconut|Cocos Nucifera Oil", "lye|Sodium Hydroxide"} {
		id, inci := split(x)
		s.sheet(id, "composition: {complete: true, constituents: [{inci: "+inci+", pct: 100}]}\n")
	}
	s.files["products/p.yaml"] = `id: p
name: Bar of chance
revision: 1
product_type: bar-soap
markets: [GB, EU]
intended_for: adults
formula: {basis: grams, saponify: {alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 8}, phases: [{id: A, lines: [{ingredient: olive, amount: 700}, {ingredient: coconut, amount: 300}, {ingredient: lye, amount: 138}, {ingredient: water, amount: 300}, {ingredient: ` + s.bases[0] + `, amount: 12}, {slot: scent, amount: 30}, {slot: colour, amount: 5}]}]}
variants:
` + s.variant(0) + s.variant(1) + "  - {id: two, portions: [{share: 50, fill: {scent: " + s.fos[0] + "}}, {share: 50, fill: {colour: " + s.tints[0] + "}}]}\n"
}

func htmlOf(t *testing.T, d *document.Document) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, page.Write(&b, d))
	return b.String()
}

func textOf(t *testing.T, d *document.Document) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, plain.Write(&b, d))
	return b.String()
}

func xlsxOf(t *testing.T, d *document.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, sheet.Write(&b, d))
	return b.Bytes()
}

func openXLSX(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// zipped returns one file of the workbook as it is stored.
func zipped(t *testing.T, data []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, f := range z.File {
		if f.Name == name {
			b, err := readZipped(f)
			require.NoError(t, err)
			return string(b)
		}
	}
	t.Fatalf("%s is not in the workbook", name)
	return ""
}

const testDay = exact.Date(20261125)
