package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWithSpread(t *testing.T) {
	assert.Equal(t, "28.57 ± 0.03", withSpread(28.571, 0.031))
	assert.Equal(t, "29 ± 3", withSpread(28.571, 3.1))
}
