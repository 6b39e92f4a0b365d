package transcribe

import (
	"gallipot/dossier/transcribe/certificate"
	"gallipot/dossier/transcribe/composition"
	"gallipot/dossier/transcribe/declaration"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/properties"
	"gallipot/dossier/transcribe/reading"
)

// walk is one paper while it is read, with a reader for each part of it.
type walk struct {
	*desk.Desk
	composition *composition.Reader
	declaration *declaration.Reader
	certificate *certificate.Reader
	properties  *properties.Reader
	starts      starts
	older       []reading.Allergen // figures of quoted mails
}
