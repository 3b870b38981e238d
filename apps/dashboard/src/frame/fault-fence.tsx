import { Component, type ReactNode } from 'react'
import { ProblemSlip } from './problem.tsx'

/** Catches what a page throws while drawing, so that a fault is a sentence and not a white page. */
export class FaultFence extends Component<{ children: ReactNode }, { fault: unknown }> {
  override state: { fault: unknown } = { fault: undefined }

  static getDerivedStateFromError(fault: unknown) {
    return { fault }
  }

  override render() {
    if (this.state.fault === undefined) return this.props.children
    return <ProblemSlip error={this.state.fault} onRetry={() => window.location.reload()} />
  }
}
