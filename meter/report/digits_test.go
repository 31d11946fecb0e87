package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A pH has three digits where its spread is less than a hundredth, as it is written.
func TestDigitsOfAPH(t *testing.T) {
	assert.Equal(t, "7.314 ± 0.009", known(7.3141, 0.0091))
	assert.Equal(t, "7.314 ± 0.001", known(7.3141, 0.0002))
	assert.Equal(t, "7.31 ± 0.01", known(7.3141, 0.0096))
	assert.Equal(t, "7.31 ± 0.01", known(7.3141, 0.013))
}
