// Package batch judges the record of a made batch, plans the next one, and follows
// lots through batches. Start at [Review] and [TraceLot].
package batch
