package frame

import (
	"errors"
	"io"
	"mime/multipart"
	"strings"

	"gallipot/dossier/edit/history"
	"gallipot/ingredients/source"
)

// save writes files as one step. Where one of them was changed meanwhile, the browser is
// sent to the page that shows both versions; saved is false then.
func (v *Visit) save(what history.Label, back string, changes ...history.Change) (saved bool, err error) {
	err = v.Store.Save(what, changes...)
	var c *history.Conflict
	if errors.As(err, &c) {
		return false, v.Go(v.Site.remember(c, what, back))
	}
	if err != nil {
		return false, err
	}
	v.Live.Touch()
	v.Shot = v.Live.Now()
	return true, nil
}

// SaveFiles writes whole files as one step and goes to a page.
func (v *Visit) SaveFiles(what history.Label, back string, changes ...history.Change) error {
	if saved, err := v.save(what, back, changes...); !saved || err != nil {
		return err
	}
	return v.Go(back)
}

// Sent reads a file that was sent along with a form.
func Sent(head *multipart.FileHeader) ([]byte, error) {
	file, err := head.Open()
	if err != nil {
		return nil, err
	}
	defer file.Close() // it was only read
	return io.ReadAll(file)
}

// FreeName says whether a new file of a folder may have an id: none has it, also in other
// letters, and every system takes it.
func FreeName(v *Visit, folder, id string) bool {
	if id == "" || source.DeviceName(id) || len(id) > 80 {
		return false
	}
	for name := range v.Workshop().Sources {
		if strings.HasPrefix(name, folder+"/") &&
			strings.EqualFold(strings.TrimSuffix(strings.TrimSuffix(name[len(folder)+1:], ".yaml"), ".yml"), id) {
			return false
		}
	}
	data, _, err := v.Store.Read(folder + "/" + id + ".yaml")
	return err == nil && data == nil
}
