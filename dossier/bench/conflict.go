package bench

import (
	"bytes"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
)

// conflictPage shows what both sides changed in a file since they parted.
func conflictPage(v *frame.Visit) error {
	p := v.Site.Pending(v.R.PathValue("id"))
	if p == nil {
		return frame.NoPage("open question about a file")
	}
	rows, readable := edit.Compare(p.Conflict.Base, p.Conflict.Mine, p.Conflict.Theirs)
	return v.Show(frame.Page{Title: p.Conflict.Name + " was changed in two places", Template: "conflict",
		Data: map[string]any{
			"ID": p.ID, "What": p.What, "Rows": rows, "Readable": readable && p.Conflict.Base != nil,
			"Mine": string(p.Conflict.Mine), "Theirs": string(p.Conflict.Theirs),
			"Gone": p.Conflict.Theirs == nil, "NoMine": p.Conflict.Mine == nil}})
}

// settleConflict writes what was chosen; the version that was not taken is kept.
func settleConflict(v *frame.Visit) error {
	p := v.Site.Pending(v.R.PathValue("id"))
	if p == nil {
		return frame.NoPage("open question about a file")
	}
	c := p.Conflict
	var data, lost []byte
	switch v.Field("take") {
	case "mine":
		data, lost = c.Mine, c.Theirs
	case "theirs":
		data, lost = c.Theirs, c.Mine
	case "chosen":
		merged, err := edit.Merge(c.Name, c.Base, c.Mine, c.Theirs,
			func(path string) bool { return v.Field("row:"+path) == "mine" })
		if err != nil {
			return err
		}
		data, lost = merged, c.Mine
	default:
		return frame.Wrong("Nothing was chosen.", "Choose one of the two versions, or a side for each line.")
	}
	if lost != nil {
		if err := v.Store.Keep(c.Name, lost); err != nil {
			return err
		}
	}
	if !bytes.Equal(data, c.Theirs) || (data == nil) != (c.Theirs == nil) {
		change := history.Change{Name: c.Name, Base: history.Hash(c.Theirs), Data: data}
		v.Site.Settle(p)
		return v.SaveFiles(p.What, p.Back, change)
	}
	v.Site.Settle(p)
	return v.Go(p.Back)
}
