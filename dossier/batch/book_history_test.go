package batch_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/batch"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Two years of a workshop are generated and written as files, and kept a second time as
// plainly as can be: whole tenths of a gram in a map, added and taken off as things happen.
// Neither side knows the other.
const (
	historyMaterials = 40
	historyLots      = 300
	historyBatches   = 400
	historyDays      = 730
	perProduct       = 8
)

// kept is what the plain side knows of one lot; masses in tenths of a gram.
type kept struct {
	material         int
	in, left         int64
	received, expiry int // days from the start
	holdFrom, holdTo int // not used on these days; -1: never
	used             map[string]int64
	over             string // the batch that took more than there was
	discarded        []string
	counted          []string
}

type history struct {
	*rand.Rand
	files   fstest.MapFS
	lots    []*kept
	expect  map[string][]string // batch → what is wrong with its lots
	sent    map[string]int
	batches int
}

var start = time.Date(2024, 11, 25, 0, 0, 0, 0, time.UTC)

func date(day int) string { return start.AddDate(0, 0, day).Format(time.DateOnly) }

func tenths(n int64) string { return fmt.Sprintf("%d.%d", n/10, n%10) }

func (h *history) write(name, text string) { h.files[name] = &fstest.MapFile{Data: []byte(text)} }

func lotCode(i int) string { return fmt.Sprintf("RM-%04d", i+1) }

func newHistory() *history {
	h := &history{Rand: rand.New(rand.NewPCG(20, 11)), files: fstest.MapFS{}, expect: map[string][]string{},
		sent: map[string]int{}}
	h.write("workshop.yaml", "maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n")
	for m := range historyMaterials {
		h.write(fmt.Sprintf("ingredients/m%02d.yaml", m),
			fmt.Sprintf("id: m%02d\nname: Material %02d\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\nfunctions: [emollient]\n", m, m))
	}
	for p := range historyMaterials / perProduct {
		var lines []string
		for m := p * perProduct; m < (p+1)*perProduct; m++ {
			lines = append(lines, fmt.Sprintf("{ingredient: m%02d, amount: 12.5}", m))
		}
		h.write(fmt.Sprintf("products/p%d.yaml", p),
			fmt.Sprintf("id: p%d\nname: Product %d\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [%s]}]}\n", p, p, strings.Join(lines, ", ")))
	}
	for day := range historyDays {
		h.day(day)
	}
	for i, k := range h.lots {
		h.writeLot(i, k)
	}
	return h
}

// day is one day of the workshop: goods come in, batches are made, things are thrown away
// and counted, in this order.
func (h *history) day(day int) {
	for len(h.lots) < historyLots*(day+1)/historyDays+historyMaterials*boolInt(day == 0) && len(h.lots) < historyLots {
		m := len(h.lots) % historyMaterials
		in := int64(20_000 + h.IntN(60_000))
		k := &kept{material: m, in: in, left: in, received: day, expiry: day + 200 + h.IntN(500), holdFrom: -1,
			holdTo: -1, used: map[string]int64{}}
		if h.IntN(3) == 0 && day+60 < historyDays {
			k.holdFrom = day + h.IntN(30)
			k.holdTo = k.holdFrom + 10 + h.IntN(30)
		}
		h.lots = append(h.lots, k)
	}
	for h.batches < historyBatches*(day+1)/historyDays {
		h.batches++
		h.makeBatch(day)
	}
	for _, k := range h.lots {
		if k.left <= 0 {
			continue
		}
		if h.IntN(900) == 0 {
			gone := min(k.left, int64(1+h.IntN(2000)))
			k.left -= gone
			k.discarded = append(k.discarded, fmt.Sprintf("{date: %s, g: %s}", date(day), tenths(gone)))
		}
		if h.IntN(900) == 0 {
			k.left = max(0, k.left-int64(h.IntN(100))) // what was not written down shows at the count
			k.counted = append(k.counted, fmt.Sprintf("{date: %s, g: %s}", date(day), tenths(k.left)))
		}
	}
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (h *history) makeBatch(day int) {
	code := fmt.Sprintf("B%04d", h.batches)
	product := h.IntN(historyMaterials / perProduct)
	var lines []string
	for m := product * perProduct; m < (product+1)*perProduct; m++ {
		lines = append(lines, h.line(code, day, m))
	}
	units := 20 + h.IntN(80)
	a, b := h.IntN(units/2), h.IntN(units/2)
	h.sent[code] = a + b
	h.write("batches/"+code+".yaml",
		fmt.Sprintf("code: %s\nproduct: p%d\nrevision: 1\ndate: %s\ndivision_g: 0.1\nlines:\n%syield: {filled_units: %d}\nsent: [{to: A shop, date: %s, units: %d}, {to: A market, date: %s, units: %d}]\n",
			code, product, date(day), strings.Join(lines, ""), units, date(day), a, date(day), b))
}

// line weighs a material from the lot that expires first, from two where one is not
// enough, and now and then wrongly.
func (h *history) line(code string, day, m int) string {
	need := int64(500 + h.IntN(3000))
	wrong := func(what string) { h.expect[code] = append(h.expect[code], what) }
	one := func(i int, g int64) string {
		h.lots[i].left -= g
		h.lots[i].used[code] += g
		return fmt.Sprintf("{lot: %s, g: %s}", lotCode(i), tenths(g))
	}
	var good, expired, held []int
	for i, k := range h.lots {
		switch {
		case k.material != m || k.left <= 0:
		case k.expiry < day:
			expired = append(expired, i)
		case k.holdFrom >= 0 && k.holdFrom <= day && day < k.holdTo:
			held = append(held, i)
		default:
			good = append(good, i)
		}
	}
	slices.SortStableFunc(good, func(a, b int) int { return h.lots[a].expiry - h.lots[b].expiry })
	var parts []string
	chance := h.IntN(60)
	switch {
	case chance == 0 && len(expired) > 0 && h.lots[expired[0]].left >= need:
		wrong("lot-expired")
		parts = append(parts, one(expired[0], need))
	case chance <= 4 && chance > 2 && len(held) > 0 && h.lots[held[0]].left >= need:
		wrong("lot-on-hold")
		parts = append(parts, one(held[0], need))
	case chance == 2 && len(good) > 0 && h.lots[good[0]].over == "":
		i := good[0]
		wrong("lot-overused")
		h.lots[i].over = code
		need = h.lots[i].left + 500 // 50 g more than there was
		parts = append(parts, one(i, need))
	default:
		for _, i := range good {
			take := min(need, h.lots[i].left)
			if take > 0 {
				parts = append(parts, one(i, take))
				need -= take
			}
		}
		if need > 0 { // of no lot that anybody received
			wrong("lot-not-received")
			parts = append(parts, fmt.Sprintf("{lot: X-%s-%d, g: %s}", code, m, tenths(need)))
		}
	}
	return fmt.Sprintf("  - {ingredient: m%02d, lots: [%s]}\n", m, strings.Join(parts, ", "))
}

func (h *history) writeLot(i int, k *kept) {
	text := fmt.Sprintf("lot: %s\ningredient: m%02d\nreceived: %s\nbest_before: %s\n", lotCode(i), k.material,
		date(k.received), date(k.expiry))
	text += "received_g: " + tenths(k.in) + "\n"
	if k.holdFrom >= 0 {
		text += fmt.Sprintf("holds: [{from: %s, until: %s, reason: a test}]\n", date(k.holdFrom), date(k.holdTo))
	}
	text += "discarded: [" + strings.Join(k.discarded, ", ") + "]\ncounted: [" + strings.Join(k.counted, ", ") + "]\n"
	h.write("lots/"+lotCode(i)+".yaml", text)
}

// TestTwoYears holds the books, the findings on lots, the proposals and the recall of every
// lot against the plain side.
func TestTwoYears(t *testing.T) {
	h := newHistory()
	require.Len(t, h.lots, historyLots)
	require.Equal(t, historyBatches, h.batches)
	w, found := workshop.LoadFS("shop", h.files, table.Builtin())
	for _, f := range found {
		require.False(t, f.Unread, "%s %s %v", f.Code, f.Pos, f.Values)
	}
	require.Len(t, w.Lots, historyLots)
	require.Len(t, w.BatchRecords, historyBatches)
	day, err := exact.ParseDate(date(historyDays))
	require.NoError(t, err)
	books := stock.Of(w, day)

	t.Run("what is left", func(t *testing.T) {
		for i, k := range h.lots {
			left := exact.Frac(max(0, k.left), 10)
			assert.Equal(t, left.Exact(), books.Number(lotCode(i)).Left.Exact(), lotCode(i))
		}
	})
	t.Run("what is wrong with the lots of each batch", func(t *testing.T) {
		wrong := 0
		for _, b := range w.BatchRecords {
			var got []string
			for _, f := range books.OfBatch(b, stock.Printed{}) {
				got = append(got, f.Code)
			}
			want := slices.Clone(h.expect[b.Code])
			slices.Sort(want)
			slices.Sort(got)
			want = slices.Compact(want)
			assert.Equal(t, want, slices.Compact(got), b.Code)
			wrong += len(want)
		}
		assert.Greater(t, wrong, 40, "the years hold enough that is wrong")
		for _, code := range []string{"lot-expired", "lot-on-hold", "lot-overused", "lot-not-received"} {
			assert.True(t, slices.ContainsFunc(slices.Collect(maps.Values(h.expect)),
				func(list []string) bool { return slices.Contains(list, code) }), code)
		}
	})
	t.Run("what expires first is proposed first", func(t *testing.T) {
		shelf := books.Shelf(day)
		for m := range historyMaterials {
			var want []string
			var order []int
			for i, k := range h.lots {
				if k.material == m && k.left > 0 && k.expiry >= historyDays {
					order = append(order, i)
				}
			}
			slices.SortStableFunc(order, func(a, b int) int { return h.lots[a].expiry - h.lots[b].expiry })
			for _, i := range order {
				want = append(want, lotCode(i)+" "+exact.Frac(h.lots[i].left, 10).Exact())
			}
			picks, _ := shelf.Take(fmt.Sprintf("m%02d", m), exact.Int(10_000_000))
			var got []string
			for _, p := range picks {
				got = append(got, p.Entry.Lot.Code+" "+p.Amount.Exact())
			}
			assert.Equal(t, want, got, "material %d", m)
		}
	})
	t.Run("the recall of every lot", func(t *testing.T) {
		uses := 0
		for i, k := range h.lots {
			trace, ok := batch.TraceLot(w, lotCode(i))
			assert.True(t, ok, "%s was received, used or not", lotCode(i))
			got, sent := map[string]string{}, 0
			for _, r := range trace.Rows {
				got[r.Batch] = r.G.Exact()
				sent += *r.SentUnits
			}
			want, packs := map[string]string{}, 0
			for code, g := range k.used {
				want[code] = exact.Frac(g, 10).Exact()
				packs += h.sent[code]
			}
			assert.Equal(t, want, got, lotCode(i))
			assert.Equal(t, packs, sent, lotCode(i))
			uses += len(k.used)
		}
		assert.Greater(t, uses, 2000)
	})
}
