import { type FormEvent, useEffect, useRef, useState } from 'react'
import { useLocation, useSearchParams } from 'wouter'
import { useAddTestRun, useProducts } from '../api/queries.ts'
import { Caution } from '../frame/caution.tsx'
import { Loading } from '../frame/loading.tsx'
import { PageTitle } from '../frame/page-title.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { Sheet } from '../frame/sheet.tsx'
import { uploadBody } from './upload-body.ts'
import { UploadFields } from './upload-fields.tsx'
import styles from './upload-page.module.css'

/** A test run from recordings that were made elsewhere: one WAV file for each setting, judged by the server. */
export function UploadPage() {
  const [params] = useSearchParams()
  const products = useProducts()
  const [productId, setProductId] = useState<string>()
  const send = useAddTestRun()
  const problem = useRef<HTMLElement>(null)
  const [, go] = useLocation()
  const known = products.data?.products ?? []
  const product = known.find(({ id }) => id === productId) ?? known[0]

  useEffect(() => {
    if (send.isError) problem.current?.focus()
  }, [send.isError])

  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault()
    send.mutate(uploadBody(new FormData(event.currentTarget)), {
      onSuccess: ({ run, newUnit }) => go(`/units/${encodeURIComponent(run.serial)}`, { state: { newUnit } }),
    })
  }

  return (
    <Sheet>
      <PageTitle title="Test from recordings">Test from recordings</PageTitle>
      <p>
        Play the sweep through the board and record what comes back, once at each setting. The sweep is written by{' '}
        <code>boardwright sweep --out sweep.wav</code>. Give the WAV files here; the verdict is stored under the serial
        number.
      </p>
      <Caution>
        A sweep is loud. Before you play it, turn monitors down and take headphones off; the rules of your workshop come
        first.
      </Caution>
      {products.isPending && <Loading what="the test plan" />}
      {products.isError && <ProblemSlip error={products.error} onRetry={() => void products.refetch()} />}
      {products.data && !product && <p className={styles.none}>No product is known yet: add one at the bench first.</p>}
      {product && (
        <form className={styles.form} onSubmit={submit} aria-busy={send.isPending}>
          <UploadFields
            key={product.id}
            products={known}
            product={product}
            serial={params.get('unit') ?? ''}
            onProduct={setProductId}
          />
          {send.isError && <ProblemSlip ref={problem} error={send.error} />}
          <button type="submit" disabled={send.isPending} className={styles.send}>
            {send.isPending ? 'Judging …' : 'Judge these recordings'}
          </button>
          <p role="status" className="unseen">
            {send.isPending ? 'The recordings are being sent and judged.' : ''}
          </p>
        </form>
      )}
    </Sheet>
  )
}
