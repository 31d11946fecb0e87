package table_test

import (
	"testing"

	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/require"
)

const systemsHead = "system,kind,step,acid_charge,pk,dh_kj,dcp_j,shift,source,pk_by,dh_by,dcp_by,second,note\n"

func TestARowWithoutASourceIsRefused(t *testing.T) {
	require.NoError(t, table.ReadSystems([]byte(systemsHead+"x,buffer,1,0,4.2,,,,A journal 1 (2001),seen,,,none,\n")))
	for _, row := range []string{
		"x,buffer,1,0,4.2,,,,,seen,,,none,\n",
		"x,buffer,1,0,4.2,,,, ,seen,,,none,\n",
		"x,buffer,1,0,4.2,,,,A journal 1 (2001),,,,none,\n",
		"x,buffer,1,0,4.2,3,,,A journal 1 (2001),seen,,,none,\n",
		"x,buffer,1,0,4.2,,,,A journal 1 (2001),seen,,,many,\n",
		"x,buffer,1,zero,4.2,,,,A journal 1 (2001),seen,,,none,\n",
		"x,salt,1,0,4.2,,,,A journal 1 (2001),seen,,,none,\n",
	} {
		require.Error(t, table.ReadSystems([]byte(systemsHead+row)), row)
	}
	const head = "name,synonyms,formula,form,supplies,stocks,ml,caution,note,source,by\n"
	require.NoError(t, table.ReadReagents([]byte(head+"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,A list,seen\n")))
	for _, row := range []string{
		"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,,seen\n",
		"salt,,NaCl,salt,Na+ 1 & Cl- 1,,,,,A list,\n",
		"salt,,NaXx,salt,Na+ 1,,,,,A list,seen\n",
		"salt,,NaCl,salt,Na+ 0,,,,,A list,seen\n",
		"salt,,NaCl,salt,sodium 1,,,,,A list,seen\n",
		"salt,,NaCl,salt,Na+ 1,strong,,,,A list,seen\n",
		"sugar,,C6H12O6,solid,inert 1,,,,,A list,seen\n",
	} {
		require.Error(t, table.ReadReagents([]byte(head+row)), row)
	}
}

// Without its short names the list of reagents is not to be had: "EDTA" would be
// another jar, and "AMP" no question.
func TestAFaultyShortNameIsSaid(t *testing.T) {
	const head = "name,kind,means,titrant,words,source\n"
	require.NoError(t, table.LoadNames([]byte(head+"EDTA,taken,EDTA disodium salt dihydrate,,the usual jar,A list\n")))
	for _, row := range []string{
		"EDTA,taken,EDTA disodium salt dihydrate,,the usual jar,\n",
		"EDTA,taken,,,the usual jar,A list\n",
		"EDTA,meant,EDTA disodium salt dihydrate,,the usual jar,A list\n",
		"NaPi,brought,monosodium phosphate,,brought to its pH,A list\n",
		"EDTA,taken,EDTA disodium salt dihydrate,the usual jar,A list\n",
		"EDTA,taken,\"EDTA,,the usual jar,A list\n",
	} {
		require.ErrorContains(t, table.LoadNames([]byte(head+row)), "table: names", row)
	}
}
