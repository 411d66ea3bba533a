package check

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
)

// openWords say what comes before a part is replaced that the readings have open:
// more often than a part it is a joint (common practice).
func (r *mending) openWords(m remedy) []string {
	if !m.byReadings() || !math.IsInf(m.now, 1) {
		return nil
	}
	what := m.name
	if m.position >= 0 && len(r.Networks[m.position].IDs()) > 0 {
		what = report.List(r.Networks[m.position].IDs())
	}
	first := ""
	for _, at := range r.search.served(m.resistor) {
		if asbuilt.Live(r.Ranges[at]) {
			first = "unplug the set, discharge it, and "
		}
	}
	return []string{fmt.Sprintf("a dry joint is likelier than an open part: %smeasure %s and the joints first; where a joint is open, solder it and read again", first, what)}
}
