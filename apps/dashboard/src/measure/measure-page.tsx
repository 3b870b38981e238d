import { useState } from 'react'
import { useSearchParams } from 'wouter'
import { useProducts } from '../api/queries.ts'
import { Loading } from '../frame/loading.tsx'
import { PageTitle } from '../frame/page-title.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { Sheet } from '../frame/sheet.tsx'
import { MeasureBoard } from './measure-board.tsx'
import styles from './measure-page.module.css'

/** A test run made at this desk: the page plays the sweep, records the board and has it judged. */
export function MeasurePage() {
  const [params] = useSearchParams()
  const products = useProducts()
  const [productId, setProductId] = useState<string>()
  const known = products.data?.products ?? []
  const product = known.find(({ id }) => id === productId) ?? known[0]
  return (
    <Sheet>
      <PageTitle title="Measure">Measure a board</PageTitle>
      <p>This page plays the sweep through the sound interface, records the board at each setting and has it judged.</p>
      {products.isPending && <Loading what="the test plan" />}
      {products.isError && <ProblemSlip error={products.error} onRetry={() => void products.refetch()} />}
      {products.data && !product && <p className={styles.none}>No product is known yet: add one at the bench first.</p>}
      {product && (
        <MeasureBoard
          key={`${product.id} ${product.revision}`}
          products={known}
          product={product}
          firstSerial={params.get('unit') ?? ''}
          onProduct={setProductId}
        />
      )}
    </Sheet>
  )
}
