package transcribe

// reading is one paper while it is read, with a reader for each part of it.
type reading struct {
	*desk
	composition *composer
	declaration *declarer
	certificate *certifier
	properties  *propertist
	older       []Allergen // figures of quoted mails
}
