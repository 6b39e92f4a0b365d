package workshop

func LotName(l BatchLot) string {
	if l.Lot != "" {
		return l.Lot
	}
	return l.SupplierLot
}
