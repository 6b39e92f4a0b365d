package table

import (
	"maps"
	"slices"
	"sync"

	"gallipot/calc/law/annex"
)

// WithLimits returns the tables with further rows, such as those of
// [ReadLimits]. t itself stays as it is.
func (t *Tables) WithLimits(rows []*annex.Limit) *Tables {
	if len(rows) == 0 {
		return t
	}
	u := *t
	u.Limits = append(slices.Clone(t.Limits), rows...)
	u.info = slices.Clone(t.info)
	for _, l := range rows {
		i := slices.IndexFunc(u.info, func(i TableInfo) bool { return i.Name == l.File })
		if i < 0 {
			i = len(u.info)
			u.info = append(u.info, TableInfo{Name: l.File, SHA256: l.Table})
		}
		u.info[i].rows = slices.Clip(u.info[i].rows) // t keeps its own
		u.info[i].count(&l.Row)
	}
	u.rows = maps.Clone(t.rows)
	for _, l := range rows {
		u.rows[l.File] = append(slices.Clip(u.rows[l.File]), &l.Row)
	}
	// Own rows bring no names of substances and change no other look-up.
	u.ByLimit = sync.OnceValue(func() *limitIndex { return t.ByLimit().with(&u, rows, len(t.Limits)) })
	u.Memory = &memory{}
	u.meanings, u.versions = sync.OnceValue(u.sumMeanings), sync.OnceValue(u.sumUp)
	return &u
}
