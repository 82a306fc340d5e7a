// The weather job in Polars, one thread: parse, degree days, wet days after wet and after dry ones by month.
// npm install nodejs-polars nodejs-polars-linux-x64-gnu in the folder this is run from;
// POLARS_MAX_THREADS=1 node polars.mjs FILE
import pl from 'nodejs-polars'

const w = pl.scanCSV(process.argv[2], { tryParseDates: false })
const mean = pl.col('tmax').plus(pl.col('tmin')).div(2)
const table = await w.select(
  mean.alias('mean'), pl.col('station'), pl.col('date').str.slice(5, 2).alias('month'),
  pl.col('precip').gtEq(1).alias('wet'), pl.col('precip').shift(1).over('station').alias('before'),
).collect()
const m = table.getColumn('mean')
const degreeDays = m.filter(m.gt(0)).sum()
const months = table.filter(pl.col('before').isNotNull()).withColumn(pl.col('before').gtEq(1).alias('wetBefore'))
  .groupBy('station', 'month', 'wetBefore').agg(pl.col('wet').sum().alias('hits'), pl.col('wet').count().alias('days'))
const sum = (b) => months.filter(pl.col('wetBefore').eq(pl.lit(b))).getColumn('hits').sum()
console.log(`degree days ${degreeDays.toFixed(3)}, wet after wet ${sum(true)}, wet after dry ${sum(false)}`)
