// The weather job in DuckDB, one thread: parse, degree days, wet days after wet and after dry ones by month.
// npm install @duckdb/node-api in the folder this is run from; node duckdb.mjs FILE
import { DuckDBInstance } from '@duckdb/node-api'

const db = await DuckDBInstance.create(':memory:', { threads: '1' })
const c = await db.connect()
await c.run(`create table w as select * from read_csv('${process.argv[2]}', header = true, columns =
  {'station': 'varchar', 'date': 'date', 'tmax': 'double', 'tmin': 'double', 'precip': 'double'})`)
const degreeDays = (await c.runAndReadAll('select sum(greatest((tmax + tmin) / 2, 0)) from w')).getRows()[0][0]
await c.run(`create table months as select station, month(date) as month,
    sum(case when wet and before then 1 else 0 end) as wet_after_wet,
    sum(case when wet and not before then 1 else 0 end) as wet_after_dry,
    sum(case when before then 1 else 0 end) as after_wet,
    sum(case when not before then 1 else 0 end) as after_dry
  from (select station, date, precip >= 1 as wet, lag(precip >= 1) over (partition by station order by date) as before from w)
  where before is not null group by all`)
const [ww, dw] = (await c.runAndReadAll('select sum(wet_after_wet), sum(wet_after_dry) from months')).getRows()[0]
console.log(`degree days ${degreeDays.toFixed(3)}, wet after wet ${ww}, wet after dry ${dw}`)
